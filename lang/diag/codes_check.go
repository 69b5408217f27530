package diag

// This file holds the codes of mistakes in the meaning of a book.

func checkEntries() []Entry { return nil }
