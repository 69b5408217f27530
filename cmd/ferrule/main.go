// Command ferrule judges golf clubs by rule books. It is all in cmd/internal/cli.
package main

import (
	"os"
	"time"

	"ferrule/cmd/internal/cli"
)

func main() { os.Exit(cli.Main(time.Now, cli.Version())) }
