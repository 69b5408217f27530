package cli

// This file is the command "lsp", the language server of an editor.

import (
	"io"
	"io/fs"
	"os"

	"ferrule/cmd/internal/editor"
)

func runLsp(c *call) error {
	c.done.apart = !editor.Serve(editor.Options{In: c.In, Out: c.Out, Disk: openFolder, Alive: processLives,
		Version: c.Version})
	return nil
}

// openFolder opens a folder, which nothing in it leads out of.
func openFolder(dir string) (editor.Folder, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	return struct {
		fs.FS
		io.Closer
	}{root.FS(), root}, nil
}
