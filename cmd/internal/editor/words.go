package editor

// This file looks at single words of a book.

import (
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

// wordFeatures are the requests about words: what they mean, where they are declared, and what may be written.
var wordFeatures = map[string]feature{
	"textDocument/definition": {"definitionProvider", true, definition},
	"textDocument/references": {"referencesProvider", true, references},
	"textDocument/rename":     {"renameProvider", map[string]bool{"prepareProvider": true}, rename},
	"textDocument/completion": {"completionProvider", map[string]any{"triggerCharacters": []string{" "}}, completion},
	"textDocument/hover":      {"hoverProvider", true, hover},
	"textDocument/semanticTokens/full": {"semanticTokensProvider", map[string]any{"full": true,
		"legend": map[string]any{"tokenTypes": tokenTypes, "tokenModifiers": []string{}}}, semanticTokens},
	"textDocument/prepareRename": {"renameProvider", map[string]bool{"prepareProvider": true}, prepareRename},
}

// tokens are those of a file.
func tokens(f *source.File) []parser.Token {
	var all []parser.Token
	for _, c := range parser.Clauses(f) {
		all = append(all, c.Tokens...)
	}
	return all
}
