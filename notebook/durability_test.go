package notebook_test

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"culm/notebook"
	"culm/notebook/storetest"
	"culm/season"
)

// The entries of these tests come in groups, each written by one call. The id of an entry says its group, how
// many the group has, and which of them it is: "run3-w1-17/5/2".
func group(name string, size int) []season.Entry {
	entries := make([]season.Entry, size)
	for i := range entries {
		id := fmt.Sprintf("%s/%d/%d", name, size, i)
		entries[i] = storetest.Harvest(id, strings.ReplaceAll(id, "/", "-"), 50, 1)
	}
	return entries
}

// wholeGroups gives the names of the groups among entries, and fails the test for one that is not whole.
func wholeGroups(t *testing.T, entries []season.Entry) map[string]bool {
	t.Helper()
	found, sizes := map[string]int{}, map[string]int{}
	for _, e := range entries {
		parts := strings.Split(e.ID, "/")
		size, err := strconv.Atoi(parts[1])
		if err != nil {
			t.Fatal(err)
		}
		found[parts[0]]++
		sizes[parts[0]] = size
	}
	whole := map[string]bool{}
	for name, n := range found {
		if n != sizes[name] {
			t.Errorf("%d of the %d entries of %s are there: half a call", n, sizes[name], name)
		}
		whole[name] = true
	}
	return whole
}

// TestWriterToBeKilled is not a test: it is the program that TestAcknowledgedEntriesSurviveAKill kills. It
// writes without end from several goroutines, single entries, calls of several and imports, and prints the
// name of each group once it is acknowledged.
func TestWriterToBeKilled(t *testing.T) {
	path, run := os.Getenv("CULM_TEST_NOTEBOOK"), os.Getenv("CULM_TEST_RUN")
	if path == "" {
		t.Skip("started by TestAcknowledgedEntriesSurviveAKill")
	}
	ctx := context.Background()
	n, err := notebook.Open(ctx, path, notebook.Options{})
	if err != nil {
		fmt.Println("failed", err)
		return
	}
	for w := range 4 {
		go func() {
			for i := 0; ; i++ {
				name := fmt.Sprintf("run%s-w%d-%d", run, w, i)
				var err error
				switch {
				case w == 3:
					_, err = n.Import(ctx, group(name, 30))
				case i%4 == 3:
					_, err = n.Append(ctx, group(name, 1+i%7)...)
				default:
					_, err = n.Append(ctx, group(name, 1)...)
				}
				if err != nil {
					fmt.Println("failed", err)
					os.Exit(1)
				}
				fmt.Println("written", name) // one write, so that lines do not mix
			}
		}()
	}
	select {}
}

// killed runs the writer, kills it after a while, and gives the names that it acknowledged. The while counts
// from the start, so that the kill may fall into opening the notebook, or from the first acknowledgement.
func killed(t *testing.T, path string, run int, after time.Duration, fromStart bool) []string {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestWriterToBeKilled$")
	cmd.Env = append(os.Environ(), "CULM_TEST_NOTEBOOK="+path, "CULM_TEST_RUN="+strconv.Itoa(run))
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	kill := func() { _ = cmd.Process.Kill() } // SIGKILL: nothing of the program runs any more
	if fromStart {
		time.AfterFunc(after, kill)
	}
	var names []string
	for printed := bufio.NewReader(out); ; {
		line, err := printed.ReadString('\n')
		if err != nil {
			break // a line cut off by the kill was not acknowledged
		}
		name, ok := strings.CutPrefix(strings.TrimSuffix(line, "\n"), "written ")
		if !ok {
			kill()
			t.Fatalf("the writer printed %q", line)
		}
		if names = append(names, name); len(names) == 1 && !fromStart {
			time.AfterFunc(after, kill)
		}
	}
	_ = cmd.Wait() // killed, as it should be
	return names
}

// Two hundred times a program that writes is killed at a random moment. Whatever it had acknowledged is in
// the notebook, and of no call or import is only a part there.
//
// A kill takes the program away, not the power: what reached the kernel stays. That an acknowledged entry
// also reached the disk rests on synchronous=FULL, which TestSettingsOfTheWriter checks, and on SQLite.
func TestAcknowledgedEntriesSurviveAKill(t *testing.T) {
	books, kills := 10, 20
	if testing.Short() {
		books, kills = 2, 5
	}
	var both sync.Mutex
	acknowledged, written := 0, 0
	t.Run("books", func(t *testing.T) {
		for book := range books {
			t.Run(strconv.Itoa(book), func(t *testing.T) {
				t.Parallel()
				a, w := killTimes(t, kills, rand.New(rand.NewPCG(uint64(book), 1)))
				both.Lock()
				defer both.Unlock()
				acknowledged, written = acknowledged+a, written+w
			})
		}
	})
	t.Logf("%d kills; %d calls acknowledged, all there; %d more there whose answer was lost", books*kills, acknowledged, written-acknowledged)
	if acknowledged < books*kills {
		t.Errorf("only %d calls acknowledged over %d kills: the writers were killed too early to test anything", acknowledged, books*kills)
	}
}

func killTimes(t *testing.T, kills int, random *rand.Rand) (acknowledged, written int) {
	path := filepath.Join(t.TempDir(), "season.culm")
	var names []string
	for run := range kills {
		names = append(names, killed(t, path, run, time.Duration(random.IntN(70_000))*time.Microsecond, random.IntN(3) == 0)...)
		if run < kills-1 && random.IntN(4) == 0 {
			continue // the next writer finds the file as the kill left it
		}
		n := reopen(t, path)
		if err := n.Check(t.Context()); err != nil {
			t.Fatalf("after kill %d: %v", run+1, err)
		}
		entries, err := n.Entries(t.Context(), notebook.Filter{})
		if err != nil {
			t.Fatal(err)
		}
		there := wholeGroups(t, entries)
		for _, name := range names {
			if !there[name] {
				t.Fatalf("after kill %d: %s was acknowledged and is gone", run+1, name)
			}
		}
		written = len(there)
		if err := n.Close(); err != nil {
			t.Fatal(err)
		}
	}
	return len(names), written
}

// A power cut may leave the write-ahead log cut short or with its end unwritten. The log is cut at random
// places here: what remains is always a beginning of what was written, call by call.
func TestACutLogLeavesABeginning(t *testing.T) {
	const calls = 40
	n, path := openNew(t)
	for i := range calls {
		if _, err := n.Append(t.Context(), group(fmt.Sprint("call", i), 1+i%9)...); err != nil {
			t.Fatal(err)
		}
	}
	file, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	log, err := os.ReadFile(path + "-wal")
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(1, 2))
	least := calls
	for range 60 {
		cut := bytes.Clone(log)
		if at := random.IntN(len(cut)); random.IntN(2) == 0 {
			cut = cut[:at]
		} else {
			clear(cut[at:])
		}
		least = min(least, beginning(t, file, cut))
	}
	if least > calls/4 {
		t.Errorf("the fewest calls left were %d of %d: the cuts tested little", least, calls)
	}
}

// beginning opens a notebook made of a file and a log, and says how many calls are in it.
func beginning(t *testing.T, file, log []byte) int {
	t.Helper()
	path := filepath.Join(t.TempDir(), "season.culm")
	if err := os.WriteFile(path, file, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path+"-wal", log, 0o644); err != nil {
		t.Fatal(err)
	}
	n := reopen(t, path)
	defer n.Close()
	if err := n.Check(t.Context()); err != nil {
		t.Fatal(err)
	}
	entries, err := n.Entries(t.Context(), notebook.Filter{})
	if err != nil {
		t.Fatal(err)
	}
	there := wholeGroups(t, entries)
	for i := range len(there) {
		if !there[fmt.Sprint("call", i)] {
			t.Fatalf("%d calls are there, but not call %d", len(there), i)
		}
	}
	return len(there)
}
