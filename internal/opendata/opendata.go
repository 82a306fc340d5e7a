// Package opendata finds the open data sets that tests check against. They are not part of the
// repository: they lie in the folder that CULM_DATA names, or else in ../shared/data beside the checkout.
// A test that needs one is skipped, and says so, where there is none.
package opendata

import (
	"os"
	"path/filepath"
	"testing"
)

// Path gives the path of a file or folder of the data sets, or skips the test.
func Path(tb testing.TB, name string) string {
	tb.Helper()
	root := folder()
	path := filepath.Join(root, filepath.FromSlash(name))
	if _, err := os.Stat(path); root == "" || err != nil {
		tb.Skipf("SKIPPED: open data set %s is not here; set CULM_DATA to the folder of data sets", name)
	}
	return path
}

// Open opens a file of the data sets, or skips the test. The file is closed when the test ends.
func Open(tb testing.TB, name string) *os.File {
	tb.Helper()
	f, err := os.Open(Path(tb, name))
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { _ = f.Close() })
	return f
}

// folder is the folder of data sets: that of CULM_DATA, or shared/data beside the folder of go.mod.
func folder() string {
	if named := os.Getenv("CULM_DATA"); named != "" {
		return named
	}
	dir, err := os.Getwd()
	if err != nil {
		return ""
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return filepath.Join(filepath.Dir(dir), "shared", "data")
		}
		parent := filepath.Dir(dir)
		if parent == dir {
			return ""
		}
		dir = parent
	}
}
