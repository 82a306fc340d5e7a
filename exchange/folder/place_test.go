package folder

import (
	"os"
	"path/filepath"
	"testing"
)

// When the fresh folder cannot be moved to its place, the old one is back where it was.
func TestAFailedSwapKeepsTheOldFolder(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "season")
	if err := putFile(filepath.Join(dir, settingsFile), []byte("season: {}\n")); err != nil {
		t.Fatal(err)
	}
	if err := swap(filepath.Join(parent, "never-made"), dir); err == nil {
		t.Fatal("a folder that is not there was moved")
	}
	if data, err := os.ReadFile(filepath.Join(dir, settingsFile)); err != nil || string(data) != "season: {}\n" {
		t.Errorf("the old folder is %q, %v", data, err)
	}
	if list, err := os.ReadDir(parent); err != nil || len(list) != 1 {
		t.Errorf("left beside it: %v, %v", list, err)
	}
}

// Ids that are no plain names stay within the folder.
func TestStationsNameTheirFilesSafely(t *testing.T) {
	for id, want := range map[string]string{"linden": "linden", "../up": "%2E.%2Fup", ".hidden": "%2Ehidden", "a b": "a%20b", "north/1": "north%2F1"} {
		if got := fileNameOf(id); got != want {
			t.Errorf("%q is written as %q, want %q", id, got, want)
		}
	}
}
