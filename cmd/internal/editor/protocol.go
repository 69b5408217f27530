package editor

// This file holds the messages of the Language Server Protocol 3.17, with the members that are used.

import "encoding/json"

// Position is a place in a text: its line, and UTF-16 units within that, both from 0.
type Position struct {
	Line      int `json:"line"`
	Character int `json:"character"`
}

// Range is a stretch of a text, up to but without its end.
type Range struct {
	Start Position `json:"start"`
	End   Position `json:"end"`
}

// touches reports whether two ranges have a line in common.
func (r Range) touches(o Range) bool { return r.Start.Line <= o.End.Line && r.End.Line >= o.Start.Line }

// Location is a stretch of a file.
type Location struct {
	URI   string `json:"uri"`
	Range Range  `json:"range"`
}

// TextEdit replaces a stretch of a text.
type TextEdit struct {
	Range   Range  `json:"range"`
	NewText string `json:"newText"`
}

// WorkspaceEdit is edits of files, by their URI.
type WorkspaceEdit struct {
	Changes map[string][]TextEdit `json:"changes"`
}

// params are those of every request and notification that is understood.
type params struct {
	TextDocument struct {
		URI     string `json:"uri"`
		Version int    `json:"version"`
		Text    string `json:"text"`
	} `json:"textDocument"`
	Position       Position `json:"position"`
	Range          Range    `json:"range"`
	ContentChanges []struct {
		Range *Range `json:"range"` // nil for the whole text
		Text  string `json:"text"`
	} `json:"contentChanges"`
	Context struct {
		Only               []string `json:"only"`
		IncludeDeclaration bool     `json:"includeDeclaration"`
	} `json:"context"`
	NewName string          `json:"newName"`
	ID      json.RawMessage `json:"id"` // of a request to cancel

	ProcessID int    `json:"processId"`
	RootURI   string `json:"rootUri"`
	Folders   []struct {
		URI string `json:"uri"`
	} `json:"workspaceFolders"`
	Capabilities client `json:"capabilities"`
}

// client is what a client says it can do.
type client struct {
	TextDocument struct {
		Completion struct {
			CompletionItem struct {
				SnippetSupport bool `json:"snippetSupport"`
			} `json:"completionItem"`
		} `json:"completion"`
	} `json:"textDocument"`
	Workspace struct {
		CodeLens  refreshed `json:"codeLens"`
		InlayHint refreshed `json:"inlayHint"`
	} `json:"workspace"`
}

// refreshed says whether a client asks again for something when it is told to.
type refreshed struct {
	RefreshSupport bool `json:"refreshSupport"`
}
