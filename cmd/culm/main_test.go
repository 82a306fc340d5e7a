package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// The scripts in testdata/script are sessions at a terminal: commands, what they print, and what they leave.
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(env *testscript.Env) error {
			env.Setenv("EXAMPLES", examples)
			return nil
		},
	})
}

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"culm": func() {
			d := &door{out: os.Stdout, err: os.Stderr, now: time.Now}
			os.Exit(run(context.Background(), d, os.Args[1:]))
		},
	})
}
