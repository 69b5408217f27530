package editor

// wordFeatures are the requests about words: what they mean, where they are declared, and what may be written.
var wordFeatures = map[string]feature{}
