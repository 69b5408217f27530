package page

import "ferrule/engine/report/doc"

// TakenFile draws how a length is taken as a file of its own, for the README.
func TakenFile(t *doc.Taken) []byte {
	return newPage().fill(nil, "taken file", takenPicture(t))
}
