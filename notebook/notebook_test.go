package notebook_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"culm/notebook"
	"culm/notebook/storetest"
	"culm/season"

	"pgregory.net/rapid"
)

func TestContract(t *testing.T) {
	folder, n := t.TempDir(), 0
	storetest.Run(t, func(tb rapid.TB) storetest.Store {
		n++
		s, err := notebook.Open(context.Background(), filepath.Join(folder, fmt.Sprintf("%d.culm", n)), notebook.Options{})
		if err != nil {
			tb.Fatal(err)
		}
		if t, ok := tb.(*testing.T); ok {
			t.Cleanup(func() { _ = s.Close() }) // some tests close it themselves
		}
		return s
	})
}

func Example() {
	folder, err := os.MkdirTemp("", "culm")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(folder)
	ctx := context.Background()
	book, err := notebook.Open(ctx, filepath.Join(folder, "season.culm"), notebook.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	defer book.Close()

	ash := season.Entry{
		ID: "0190-a", Writer: "office", Recorded: time.Date(2027, 2, 10, 8, 0, 0, 0, time.UTC),
		Body: &season.Producer{ID: "ash", Name: "Ash Farm"},
	}
	fmt.Println(book.Append(ctx, ash))
	fmt.Println(book.Append(ctx, ash)) // sent twice: the phone lost the answer
	ash.Body = &season.Producer{ID: "ash", Name: "Ash Farms"}
	_, err = book.Append(ctx, ash)
	fmt.Println(err)
	// Output:
	// {1 0} <nil>
	// {0 1} <nil>
	// writing entries: "0190-a" is already in the notebook with another content: it is producer ash, recorded 2027-02-10T08:00:00Z by office; what was sent differs in the body; nothing was written
}
