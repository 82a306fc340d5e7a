package cite_test

import (
	"strings"
	"testing"

	"culm/agronomy/cite"
)

func TestCatalogueIsWhole(t *testing.T) {
	seen := map[cite.Key]bool{}
	for _, s := range cite.All() {
		switch {
		case s.Key == "" || s.Text == "":
			t.Errorf("source %+v lacks a key or a text", s)
		case seen[s.Key]:
			t.Errorf("source %s stands twice", s.Key)
		case s.Status == "":
			t.Errorf("source %s does not say how far its numbers were confirmed", s.Key)
		}
		seen[s.Key] = true
		if found, ok := cite.Find(s.Key); !ok || found != s {
			t.Errorf("Find(%s) = %v, %v", s.Key, found, ok)
		}
	}
}

func TestFromMemorySaysSo(t *testing.T) {
	for _, s := range cite.All() {
		says := strings.Contains(strings.ToLower(s.Text), "from memory")
		if says && s.Status != cite.FromMemory {
			t.Errorf("%s: the text says from memory, the status %q", s.Key, s.Status)
		}
	}
}

func TestUnknownKey(t *testing.T) {
	if s, ok := cite.Find("nobody-1900"); ok {
		t.Errorf("found %v for a key that is not in the catalogue", s)
	}
}
