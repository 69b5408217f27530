// Command empty is a cobra program with one command that does nothing: what it costs
// to start and to stop.
package main

import (
	"os"

	"github.com/spf13/cobra"
)

func main() {
	root := &cobra.Command{Use: "empty"}
	root.AddCommand(&cobra.Command{Use: "check", Run: func(*cobra.Command, []string) {}})
	if root.Execute() != nil {
		os.Exit(3)
	}
}
