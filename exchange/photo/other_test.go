package photo_test

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"culm/agronomy/cover"
	"culm/exchange/photo"
)

// Photos of other things: those that the reader of photo details is tested with, by other people and for
// another purpose. No field from above is among them. The limit of how uneven a picture may be was set with
// these in view, so this keeps what was reached and proves nothing about others; three in four must be refused.
func TestPhotosOfOtherThings(t *testing.T) {
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/bep/imagemeta").Output()
	folder := filepath.Join(strings.TrimSpace(string(out)), "testdata", "images")
	if _, missing := os.Stat(folder); err != nil || missing != nil {
		t.Skip("SKIPPED: the sources of github.com/bep/imagemeta are not here")
	}
	var looked, refused int
	var passed []string
	err = filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		file, err := os.Open(path)
		if err != nil {
			return err
		}
		defer file.Close()
		p, err := photo.Read(entry.Name(), file)
		if err != nil {
			return nil // not read, as most are: heads without a picture, raw files, damage done on purpose
		}
		seen, err := cover.Look(p.Pixels)
		if err != nil {
			return err
		}
		looked++
		if seen.Fit {
			passed = append(passed, entry.Name())
		} else {
			refused++
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d of %d refused; passed: %s", refused, looked, strings.Join(passed, ", "))
	if looked == 0 || 4*refused < 3*looked {
		t.Errorf("%d of %d refused; passed: %s", refused, looked, strings.Join(passed, ", "))
	}
}
