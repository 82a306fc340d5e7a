package folder_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"culm/agronomy/unit"
	"culm/exchange/folder"
	"culm/internal/opendata"
	"culm/season"
)

// zipped packs files into a zip, with the names that rename gives them.
func zipped(tb testing.TB, files fstest.MapFS, rename func(string) string) []byte {
	tb.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		f, err := w.Create(rename(name))
		if err != nil {
			return err
		}
		_, err = f.Write(files[name].Data)
		return err
	})
	if err != nil {
		tb.Fatal(err)
	}
	if err := w.Close(); err != nil {
		tb.Fatal(err)
	}
	return out.Bytes()
}

func asZip(data []byte) fstest.MapFS {
	return fstest.MapFS{"season.zip": &fstest.MapFile{Data: data}}
}

func TestAZipReadsLikeItsFolder(t *testing.T) {
	want, _ := folder.Read(example(t), "two-fields")
	inFolder := func(name string) string { return name }
	for name, rename := range map[string]func(string) string{
		"of the folder":         inFolder,
		"of what is inside":     func(name string) string { return strings.TrimPrefix(name, "two-fields/") },
		"made with backslashes": func(name string) string { return strings.ReplaceAll(name, "/", `\`) },
	} {
		data := zipped(t, example(t), rename)
		got, problems := folder.Read(asZip(data), "season.zip")
		if len(problems) > 0 || len(got.Entries) != len(want.Entries) {
			t.Errorf("%s: %d entries, want %d; %v", name, len(got.Entries), len(want.Entries), problems)
		}
		for i := range min(len(got.Entries), len(want.Entries)) {
			if got.Entries[i].ID != want.Entries[i].ID || got.Entries[i].Where != want.Entries[i].Where {
				t.Errorf("%s: entry %d is %v, want %v", name, i, got.Entries[i], want.Entries[i])
			}
		}
	}
	path := filepath.Join(t.TempDir(), "season.zip")
	if err := os.WriteFile(path, zipped(t, example(t), inFolder), 0o644); err != nil {
		t.Fatal(err)
	}
	if got, problems := folder.Open(path); len(problems) > 0 || len(got.Entries) != len(want.Entries) {
		t.Errorf("from disk: %d entries, %v", len(got.Entries), problems)
	}
}

func TestHostileZips(t *testing.T) {
	bomb := func(name string, sizes ...int) []byte {
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		for i, size := range sizes {
			f, err := w.Create(fmt.Sprintf(name, i))
			if err != nil {
				t.Fatal(err)
			}
			zeros := make([]byte, 1<<20)
			for ; size > 0; size -= len(zeros) {
				if _, err := f.Write(zeros[:min(size, len(zeros))]); err != nil {
					t.Fatal(err)
				}
			}
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}
	// A zip may lie about sizes: the readings then unpack to more than is said.
	liar := zipped(t, example(t), func(name string) string { return name })
	honest := int64(len(example(t)["two-fields/readings.csv"].Data))
	liar = bytes.ReplaceAll(liar, sizeField(honest), sizeField(100))

	many := make([]int, 20_001)
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"a bomb", bomb("readings%d.csv", 64<<20), "unpack to far more than it is"},
		{"a bomb in slices", bomb("weather/%d.csv", 900_000, 2<<20, 900_000), "unpack to far more than it is"},
		{"a crowd of files", bomb("weather/%d.csv", many...), "too many files"},
		{"a liar", liar, "the file cannot be read"},
		{"no zip at all", []byte("season: 1\n"), "zip cannot be read"},
		{"an empty file", nil, "zip cannot be read"},
	} {
		_, problems := folder.Read(asZip(c.data), "season.zip")
		if len(problems) == 0 || problems[0].Severity != season.Fatal || !mentions(problems, c.want) {
			t.Errorf("%s: %v, want a problem that says %q", c.name, problems, c.want)
		}
	}
	encrypted := zipped(t, example(t), func(name string) string { return name })
	for i := 0; i+10 < len(encrypted); i++ { // set the flag in each entry of the directory
		if bytes.Equal(encrypted[i:i+4], []byte("PK\x01\x02")) {
			encrypted[i+8] |= 1
		}
	}
	if _, problems := folder.Read(asZip(encrypted), "season.zip"); !mentions(problems, "encrypted") {
		t.Errorf("encrypted: %v", problems)
	}
}

// sizeField is an unpacked size as it stands in a zip's directory.
func sizeField(n int64) []byte {
	return []byte{byte(n), byte(n >> 8), byte(n >> 16), byte(n >> 24)}
}

func mentions(problems []season.Problem, text string) bool {
	for _, p := range problems {
		if strings.Contains(p.Message, text) {
			return true
		}
	}
	return false
}

// A file of 2 GB is refused by its size, before a byte of it is read.
func TestHugeFilesAreNotRead(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../examples/two-fields")); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(filepath.Join(dir, "readings.csv"), 2<<30); err != nil {
		t.Fatal(err)
	}
	content, problems := folder.Open(dir)
	want := "readings.csv:0  error: the file is too large to be read | 2.0 GB | at most 128.0 MB"
	if len(problems) != 1 || line(problems[0]) != want {
		t.Errorf("%v\nwant %s", problems, want)
	}
	if s := season.Assemble(content.Entries); len(s.Fields) != 2 || len(s.Soils) != 2 {
		t.Errorf("the rest of the folder was not read: %d fields", len(s.Fields))
	}
}

func TestThingsThatAreNoSeasonFolder(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("notes.txt", "hello")
	for _, c := range []struct{ name, path, want string }{
		{"nothing there", filepath.Join(dir, "nowhere"), "there is no season folder to read: no such file or directory"},
		{"a file", filepath.Join(dir, "notes.txt"), "this is neither a folder nor a zip"},
		{"a folder of something else", dir, "the file is missing, so this is no season folder"},
	} {
		_, problems := folder.Open(c.path)
		if len(problems) != 1 || problems[0].Message != c.want || strings.Contains(problems[0].Found, dir) {
			t.Errorf("%s: %v, want %q", c.name, problems, c.want)
		}
	}
}

func TestFilesThatAreNotOursAreNamed(t *testing.T) {
	files := example(t)
	for _, name := range []string{"reading.csv", "weather/north.xlsx", "photo.jpg", "notes.txt", ".hidden.csv"} {
		files["two-fields/"+name] = &fstest.MapFile{Data: []byte("x"), Mode: 0o644}
	}
	_, problems := folder.Read(files, "two-fields")
	var found []string
	for _, p := range problems {
		found = append(found, p.Found)
	}
	if got := strings.Join(found, " "); got != `"reading.csv" "weather/north.xlsx"` {
		t.Errorf("doubted: %s; want what looks like a table and no more", got)
	}
}

// A device or a pipe in the folder would be read for ever.
func TestOnlyPlainFilesAreRead(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../examples/two-fields")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(os.DevNull, filepath.Join(dir, "spots.csv")); err != nil {
		t.Skip("SKIPPED: no links here:", err)
	}
	if _, problems := folder.Open(dir); len(problems) != 1 || problems[0].Message != "this is not a plain file" {
		t.Errorf("%v", problems)
	}
}

func TestAGridForecastIsRead(t *testing.T) {
	in := opendata.Open(t, "fc_nws_gridpoints_open/OAX_59_58_gridpoint.json")
	data, err := io.ReadAll(in)
	if err != nil {
		t.Fatal(err)
	}
	files := example(t)
	delete(files, "two-fields/forecast/linden.csv")
	files["two-fields/forecast/linden.json"] = &fstest.MapFile{Data: data, Mode: 0o644}
	content, problems := folder.Read(files, "two-fields")
	for _, p := range problems {
		if p.Severity == season.Fatal {
			t.Error(line(p))
		}
	}
	f := season.Assemble(content.Entries).LatestForecast("linden")
	if f == nil || len(f.Days) < 6 || len(f.Hours) < 6*24 || !strings.Contains(f.By, "OAX 59,58") {
		t.Fatalf("forecast %+v", f)
	}
	// It is written as a table, hours and all, and reads back the same.
	dir := filepath.Join(t.TempDir(), "season")
	if err := folder.Write(dir, content.Entries, unit.US); err != nil {
		t.Fatal(err)
	}
	again, problems := folder.Open(dir)
	g := season.Assemble(again.Entries).LatestForecast("linden")
	if same, err := season.SameContent(f, g); !same || err != nil || len(problems) > 0 {
		t.Errorf("read back as %+v, %v, %v", g, err, problems)
	}
	if table, err := os.ReadFile(filepath.Join(dir, "forecast", "linden.csv")); err != nil || strings.Count(string(table), "\n") != 1+len(f.Days)+len(f.Hours) {
		t.Error("the table lacks days or hours", err)
	}
}

// A folder is written whole or not at all.
func TestWriteReplacesOnlyASeason(t *testing.T) {
	content, _ := folder.Read(example(t), "two-fields")
	parent := t.TempDir()
	dir := filepath.Join(parent, "season")
	for range 2 {
		if err := folder.Write(dir, content.Entries, unit.US); err != nil {
			t.Fatal(err)
		}
	}
	list, err := os.ReadDir(parent)
	if err != nil || len(list) != 1 {
		t.Errorf("beside the folder lies %v, %v", list, err)
	}
	before, err := os.ReadFile(filepath.Join(dir, "season.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	photo := filepath.Join(dir, "strip.jpg")
	if err := os.WriteFile(photo, []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	err = folder.Write(dir, nil, unit.US)
	if err == nil || !strings.Contains(err.Error(), "strip.jpg, which is no part of a season") {
		t.Errorf("replacing a folder with a photo in it: %v", err)
	}
	after, err := os.ReadFile(filepath.Join(dir, "season.yaml"))
	if err != nil || !bytes.Equal(before, after) {
		t.Errorf("the folder was touched: %v", err)
	}
	if err := folder.Write(photo, nil, unit.US); err == nil || !strings.Contains(err.Error(), "is a file") {
		t.Errorf("writing over a file: %v", err)
	}
}

func TestWriteRefusesWhatMayNotBeWritten(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "season")
	day := today()
	bad := []season.Entry{
		{ID: "a", Recorded: day.Time(), Body: &season.Producer{ID: "p", Name: "P"}}, // no writer
		{ID: "b", Writer: "w", Body: &season.Producer{ID: "q", Name: "Q"}},          // no moment
	}
	err := folder.Write(dir, bad, unit.US)
	if err == nil || !strings.Contains(err.Error(), `"a"`) || !strings.Contains(err.Error(), `"b"`) {
		t.Errorf("%v, want an error that names both entries", err)
	}
	nan := 0.0
	nan /= nan
	for _, body := range []season.Body{
		&season.Readings{Field: "f", Day: day, Readings: []season.Reading{{Value: nan}}},
		&season.Weather{Station: "s", Year: 2027, Month: time.February, Days: []season.WeatherDay{{Day: day, Rain: unit.Water(nan), Has: season.HasRain}}},
		&season.Producer{ID: "p", Name: "\xff"},
	} {
		if err := folder.Write(dir, []season.Entry{{ID: "a", Writer: "w", Recorded: day.Time(), Body: body}}, unit.US); err == nil {
			t.Errorf("%T was written though it cannot be kept", body)
		}
	}
	if _, err := os.Stat(dir); !os.IsNotExist(err) {
		t.Errorf("something was left behind: %v", err)
	}
}

// What was corrected and what was withdrawn stays with the season, out of the tables that people read.
func TestThePastIsKept(t *testing.T) {
	content, _ := folder.Read(example(t), "two-fields")
	entries := content.Entries
	var wrong season.Entry
	for _, e := range entries {
		if v, ok := e.Body.(*season.Visit); ok && v.Field == "north-80" {
			wrong = e
		}
	}
	right := *wrong.Body.(*season.Visit)
	right.Stage = 5
	entries = append(entries,
		season.Entry{ID: "phone-1", Supersedes: wrong.ID, Writer: "phone of Ivo Pell", Observed: right.Day, Recorded: right.Day.Time().Add(20 * time.Hour), Body: &right},
		season.Entry{ID: "phone-2", Supersedes: "never-here", Withdrawn: true, Writer: "phone of Ivo Pell", Recorded: right.Day.Time()})
	dir := filepath.Join(t.TempDir(), "season")
	if err := folder.Write(dir, entries, unit.US); err != nil {
		t.Fatal(err)
	}
	visits, err := os.ReadFile(filepath.Join(dir, "visits.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(visits), "\n"); n != 3 || !strings.Contains(string(visits), "phone-1,phone of Ivo Pell,2027-02-09T20:00:00Z,"+wrong.ID) {
		t.Errorf("visits.csv should hold the correction with its stamp, and not what it corrects:\n%s", visits)
	}
	past, err := os.ReadFile(filepath.Join(dir, "entries.jsonl"))
	if err != nil || strings.Count(string(past), "\n") != 2 {
		t.Errorf("entries.jsonl should hold the visit before its correction, and the withdrawal: %v\n%s", err, past)
	}
	again, problems := folder.Open(dir)
	if len(problems) > 0 || len(again.Entries) != len(entries) {
		t.Errorf("read back %d entries of %d, %v", len(again.Entries), len(entries), problems)
	}
}

// Reading a folder twice, or after rows were moved about, gives the same ids: a notebook can import it again.
func TestIdsDoNotHangOnThePlaceInAFile(t *testing.T) {
	files := example(t)
	first, _ := folder.Read(files, "two-fields")
	replace(t, files, "season.yaml", "producers:", "\n# moved down\n\nproducers:")
	f := files["two-fields/soil.csv"]
	rows := strings.Split(strings.TrimSpace(string(f.Data)), "\n")
	f.Data = []byte(strings.Join([]string{rows[0], rows[4], rows[2], rows[3], rows[1]}, "\n"))
	second, problems := folder.Read(files, "two-fields")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	ids := map[string]bool{}
	for _, e := range first.Entries {
		ids[e.ID] = true
	}
	for _, e := range second.Entries {
		if !ids[e.ID] {
			t.Errorf("%s has another id now", e.Where)
		}
	}
	if len(ids) != len(second.Entries) {
		t.Errorf("%d entries, then %d", len(ids), len(second.Entries))
	}
}
