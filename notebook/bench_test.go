package notebook_test

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"net/url"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"

	"culm/notebook/storetest"
	"culm/season"
)

// BenchmarkDurableAppends measures entries acknowledged per second, each on the disk before it is. The bar
// is SQLite itself with the same settings, one INSERT of the same text a transaction, measured in the same
// run; "of-raw" is the ratio to it.
func BenchmarkDurableAppends(b *testing.B) {
	var raw float64
	perSecond := func(b *testing.B) float64 {
		rate := float64(b.N) / b.Elapsed().Seconds()
		b.ReportMetric(rate, "entries/s")
		return rate
	}
	b.Run("raw SQLite, one writer", func(b *testing.B) {
		db := rawSQLite(b)
		body, err := season.WriteBody(storetest.Harvest("h", "f", 50, 2).Body)
		if err != nil {
			b.Fatal(err)
		}
		insert, err := db.Prepare("INSERT INTO entries (id, body) VALUES (?, ?)")
		if err != nil {
			b.Fatal(err)
		}
		b.ResetTimer()
		for i := range b.N {
			if _, err := insert.Exec(fmt.Sprint("entry-", i), string(body.JSON)); err != nil {
				b.Fatal(err)
			}
		}
		raw = perSecond(b)
	})
	for _, writers := range []int{1, 8, 64} {
		b.Run(fmt.Sprintf("notebook, %d writers", writers), func(b *testing.B) {
			n, _ := openNew(b)
			var next atomic.Int64
			var all sync.WaitGroup
			b.ResetTimer()
			for range writers {
				all.Go(func() {
					for i := next.Add(1); i <= int64(b.N); i = next.Add(1) {
						if _, err := n.Append(b.Context(), storetest.Harvest(fmt.Sprint("entry-", i), "f", 50, 2)); err != nil {
							b.Error(err)
							return
						}
					}
				})
			}
			all.Wait()
			b.ReportMetric(perSecond(b)/raw, "of-raw")
		})
	}
}

func rawSQLite(b *testing.B) *sql.DB {
	b.Helper()
	address := url.URL{
		Scheme: "file", Path: filepath.Join(b.TempDir(), "raw.sqlite"),
		RawQuery: "_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_txlock=immediate",
	}
	db, err := sql.Open("sqlite", address.String())
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = db.Close() })
	db.SetMaxOpenConns(1)
	if _, err := db.Exec("CREATE TABLE entries (id TEXT PRIMARY KEY, body TEXT NOT NULL)"); err != nil {
		b.Fatal(err)
	}
	return db
}

// BenchmarkSeason reads the season of an advisor with 400 fields: 10 000 entries.
func BenchmarkSeason(b *testing.B) {
	n, _ := openNew(b)
	var entries []season.Entry
	for f := range 400 {
		for i := range 25 {
			e := storetest.Harvest(fmt.Sprintf("%d-%d", f, i), fmt.Sprint("field-", f), 50, 1+i)
			e.Body.(*season.Harvest).Part = fmt.Sprint("part-", i)
			entries = append(entries, e)
		}
	}
	if _, err := n.Append(b.Context(), entries...); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, _, err := n.Season(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkImport imports 2000 entries that say what stands.
func BenchmarkImport(b *testing.B) {
	n, _ := openNew(b)
	var entries []season.Entry
	for f := range 2000 {
		entries = append(entries, storetest.Harvest(fmt.Sprint("h", f), fmt.Sprint("field-", f), 50, 1))
	}
	for b.Loop() {
		if _, err := n.Import(b.Context(), entries); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFreeze freezes the plan of a field of the demonstration and tells how far it packs.
func BenchmarkFreeze(b *testing.B) {
	n, path := openNew(b)
	plan := demoPlan(b)
	id, input := plan.ID, plan.Input
	for i := 0; b.Loop(); i++ {
		// Another plan each time, or it would be known.
		plan.ID, plan.Hash = fmt.Sprint(id, i), ""
		plan.Input = json.RawMessage(fmt.Sprintf("[%d,%s]", i, input))
		if _, err := n.Freeze(b.Context(), plan); err != nil {
			b.Fatal(err)
		}
	}
	var packed int
	if err := otherProgram(b, path).QueryRow("SELECT length(input) + length(plan) FROM plans LIMIT 1").Scan(&packed); err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(len(plan.Input)+len(plan.Plan)), "bytes-plain")
	b.ReportMetric(float64(packed), "bytes-packed")
}
