// Package floors guards the structure of the house: imports only go down, and the lower floor is pure.
// Nothing is in it but this test.
package floors_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// order lists the rooms from the top of the house to the bottom. A package may import rooms on lines below
// its own, and other packages of its own room. The last four are the words everything is said in.
var order = []string{
	"culm/cmd",
	"culm/server",
	"culm/paper", // the producer's page, for the server and the command line
	"culm/web",
	"culm/notebook",
	"culm/exchange",
	"culm/demo",
	"culm/advice",
	"culm/agronomy",
	"culm/season",
	"culm/agronomy/working",
	"culm/agronomy/cite",
	"culm/agronomy/calendar",
	"culm/agronomy/unit",
}

// beside are the rooms that stand beside that order: any room may use them, and they use only season and
// what is below it.
var beside = []string{"culm/spatial"}

// pure are the rooms of the lower floor.
var pure = []string{"culm/agronomy", "culm/spatial", "culm/season", "culm/advice", "culm/demo"}

// forbidden says what the lower floor must not import, and why.
var forbidden = map[string]string{
	"os":           "a plan must not depend on a file or an environment variable",
	"os/exec":      "a plan must not depend on another program",
	"net":          "a plan must not depend on a network",
	"net/http":     "a plan must not depend on a network",
	"log":          "findings are returned, not written to a log",
	"log/slog":     "findings are returned, not written to a log",
	"database/sql": "storage is the notebook's",
	"math/rand":    "its default source is global; seeded draws come from math/rand/v2",
	"sync":         "the lower floor starts nothing and shares nothing, so it needs no locks",
	"unsafe":       "the same plan on every machine leaves no room for it",
	"syscall":      "it compiles to WebAssembly as it is",
	"time/tzdata":  "days are days in the field",
	"testing":      "tests live in test files",
	"flag":         "settings are arguments",
}

type listed struct {
	ImportPath string
	Dir        string
	GoFiles    []string
	Imports    []string
}

func packages(t *testing.T) []listed {
	t.Helper()
	cmd := exec.Command("go", "list", "-json=ImportPath,Dir,GoFiles,Imports", "culm/...")
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, stderr.String())
	}
	var all []listed
	dec := json.NewDecoder(bytes.NewReader(out))
	for {
		var p listed
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
}

// room finds the room a package belongs to: the one whose name fits it best.
func room(path string, rooms []string) int {
	best := -1
	for i, r := range rooms {
		if (path == r || strings.HasPrefix(path, r+"/")) && (best < 0 || len(r) > len(rooms[best])) {
			best = i
		}
	}
	return best
}

func TestImportsGoDown(t *testing.T) {
	for _, p := range packages(t) {
		from := room(p.ImportPath, order)
		for _, imported := range p.Imports {
			to := room(imported, order)
			switch {
			case from >= 0 && to >= 0 && to < from:
				t.Errorf("%s imports %s, which is above it", p.ImportPath, imported)
			case room(p.ImportPath, beside) >= 0 && to >= 0 && to < room("culm/season", order):
				t.Errorf("%s imports %s; spatial knows only season and what is below it", p.ImportPath, imported)
			}
		}
	}
}

func TestLowerFloorIsPure(t *testing.T) {
	for _, p := range packages(t) {
		if room(p.ImportPath, pure) < 0 {
			continue
		}
		for _, imported := range p.Imports {
			if why, no := forbidden[imported]; no {
				t.Errorf("%s imports %s: %s", p.ImportPath, imported, why)
			}
			if strings.HasPrefix(imported, "culm/") && room(imported, pure) < 0 {
				t.Errorf("%s imports %s, which is not of the lower floor", p.ImportPath, imported)
			}
		}
		for _, file := range p.GoFiles {
			checkFile(t, filepath.Join(p.Dir, file))
		}
	}
}

// checkFile finds clocks and variables that could be written to.
func checkFile(t *testing.T, path string) {
	t.Helper()
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, path, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	embedded := embedsFiles(file)
	for _, decl := range file.Decls {
		gen, ok := decl.(*ast.GenDecl)
		if !ok || gen.Tok != token.VAR {
			continue
		}
		for _, spec := range gen.Specs {
			for _, name := range spec.(*ast.ValueSpec).Names {
				if name.Name != "_" && !isSentinel(name.Name) && !embedded {
					t.Errorf("%s: package variable %s; the lower floor keeps no globals (errors and embedded data apart)",
						fset.Position(name.Pos()), name.Name)
				}
			}
		}
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			if x, ok := n.X.(*ast.Ident); ok && x.Name == "time" && isClock(n.Sel.Name) {
				t.Errorf("%s: time.%s; the lower floor reads no clock", fset.Position(n.Pos()), n.Sel.Name)
			}
		case *ast.GoStmt:
			t.Errorf("%s: a goroutine; the lower floor computes in the caller's", fset.Position(n.Pos()))
		}
		return true
	})
}

// isSentinel says that a variable is an error to be matched with errors.Is, which Go cannot make constant.
func isSentinel(name string) bool {
	return strings.HasPrefix(name, "Err") || strings.HasPrefix(name, "err")
}

func isClock(name string) bool {
	switch name {
	case "Now", "Since", "Until", "Sleep", "After", "Tick", "NewTimer", "NewTicker", "AfterFunc":
		return true
	}
	return false
}

func embedsFiles(file *ast.File) bool {
	for _, imp := range file.Imports {
		if path, err := strconv.Unquote(imp.Path.Value); err == nil && path == "embed" {
			return true
		}
	}
	return false
}

// TestLowerFloorCompilesToWebAssembly builds what will run on a phone.
func TestLowerFloorCompilesToWebAssembly(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the lower floor for js/wasm")
	}
	cmd := exec.Command("go", "build", "culm/advice/...", "culm/agronomy/...", "culm/season/...", "culm/spatial/...")
	cmd.Env = append(cmd.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("the lower floor does not compile for js/wasm: %v\n%s", err, out)
	}
}
