package server

import (
	"strconv"
	"strings"

	"culm/agronomy/unit"
)

// number writes a count: "26", "1,000".
func number(n int) string {
	digits := strconv.Itoa(n)
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	return digits
}

// plural writes a count with its word: "1 day", "3 days".
func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return number(n) + " " + word + "s"
}

// span writes a low and a high number with their unit once: "31 to 57 °F".
func span(k unit.Kind, low, high float64, s unit.System) string {
	return unit.Show(k, low, s).Number + " to " + unit.Show(k, high, s).String()
}

// list joins words as people do: "a, b and c".
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// titled gives a name a capital at the start, and leaves one such as pH as it is written.
func titled(name string) string {
	if len(name) > 1 && strings.ToUpper(name[1:2]) == name[1:2] {
		return name
	}
	return sentenceCase(name)
}
