package guidance_test

import (
	"os"
	"path/filepath"
	"testing"

	"culm/agronomy/guidance"
)

func TestTmpBooks(t *testing.T) {
	names, _ := filepath.Glob("books/*.yaml")
	for _, n := range names {
		text, _ := os.ReadFile(n)
		r := guidance.Check(filepath.Base(n), text)
		for _, p := range r.Problems() {
			t.Error(p.Stage, p.Error())
		}
		for _, s := range r.Stages {
			if !s.Ran {
				t.Errorf("%s: %s not run", n, s.Stage)
			}
		}
		t.Log(n, r.OK())
	}
}
