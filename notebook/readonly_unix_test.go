//go:build unix

package notebook_test

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"culm/notebook"
)

// TestReadOnlyPlaces opens notebooks where nothing may be written. Permissions do not bind the superuser,
// so as such the test runs itself as nobody.
func TestReadOnlyPlaces(t *testing.T) {
	if paths := os.Getenv("CULM_TEST_READ_ONLY"); paths != "" {
		for _, path := range filepath.SplitList(paths) {
			if _, err := notebook.Open(t.Context(), path, notebook.Options{}); !errors.Is(err, notebook.ErrReadOnly) {
				t.Errorf("%s: error is %v, want ErrReadOnly", filepath.Base(path), err)
			}
		}
		return
	}
	folder := t.TempDir()
	existing := filepath.Join(folder, "existing.culm")
	n := reopen(t, existing)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	self := filepath.Join(folder, "self")
	program, err := os.ReadFile(os.Args[0])
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.WriteFile(self, program, 0o755), os.Chmod(filepath.Dir(folder), 0o755),
		os.Chmod(existing, 0o444), os.Chmod(folder, 0o555)); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(folder, 0o755)
	cmd := exec.Command(self, "-test.run=^TestReadOnlyPlaces$", "-test.v")
	cmd.Dir = folder
	cmd.Env = append(os.Environ(), "CULM_TEST_READ_ONLY="+existing+string(filepath.ListSeparator)+filepath.Join(folder, "new.culm"))
	if os.Geteuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
	if out, err := cmd.CombinedOutput(); err != nil || !strings.Contains(string(out), "PASS: TestReadOnlyPlaces") {
		t.Errorf("%v\n%s", err, out)
	}
}
