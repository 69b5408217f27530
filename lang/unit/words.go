// What messages are made of, here because every other package can import this one.

package unit

import "strings"

// Article puts "a" or "an" before a word.
func Article(word string) string {
	if word != "" && strings.IndexByte("aeiou", word[0]) >= 0 {
		return "an " + word
	}
	return "a " + word
}

// Listed joins words as a person does, the last by joint: "a, b or c".
func Listed(words []string, joint string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " " + joint + " " + words[last]
}
