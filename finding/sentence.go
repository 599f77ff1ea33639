package finding

// Sentence is text with its first letter a capital one, as a sentence begins. What does not begin with a letter of a to z, such as a builder's
// own name for a part, stays as it is.
func Sentence(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
