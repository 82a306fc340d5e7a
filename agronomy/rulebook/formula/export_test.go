package formula

// InKeyboard prints the formula as it would be written, for the tests.
func (f *Formula) InKeyboard() string {
	text, _ := printer{leaf: func(*node) (string, level, bool) { return "", 0, false }}.print(f.root)
	return text
}
