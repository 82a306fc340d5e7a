package folder

import (
	"os"
	"path/filepath"
	"testing"
)

func TestAddForecast(t *testing.T) {
	dir := t.TempDir()
	if _, err := AddForecast(dir, "elm", []byte("{}")); err == nil {
		t.Error("a folder without season.yaml took a forecast")
	}
	if err := os.WriteFile(filepath.Join(dir, "season.yaml"), []byte("season: {name: x}\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"first", "second"} {
		name, err := AddForecast(dir, "elm/../2", []byte(text))
		if err != nil || filepath.Base(name) != "elm%2F..%2F2.json" || filepath.Dir(name) != filepath.Join(dir, "forecast") {
			t.Fatal(name, err)
		}
		if got := readFile(t, name); got != text {
			t.Errorf("holds %q", got)
		}
	}
	if left, _ := os.ReadDir(filepath.Join(dir, "forecast")); len(left) != 1 {
		t.Errorf("left behind: %v", left)
	}
	own := filepath.Join(dir, "forecast", "own.json")
	if err := os.WriteFile(own, []byte(`{"issued":"2027-02-10","days":[{}]}`), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := AddForecast(dir, "own", []byte("{}")); err == nil {
		t.Error("a forecast that somebody wrote was replaced")
	}
	if _, err := AddForecast(dir, "", nil); err == nil {
		t.Error("a forecast of no station was taken")
	}
}
