package main

import (
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"culm/agronomy/cover/drawn"
)

// drawPhoto writes a drawn field as a JPEG file.
func drawPhoto(t *testing.T, path string, change func(*drawn.Scene)) drawn.Picture {
	t.Helper()
	s := drawn.NoTill(1)
	change(&s)
	p := drawn.Draw(s)
	var b bytes.Buffer
	m := &image.RGBA{Pix: p.RGBA, Stride: 4 * p.Width, Rect: image.Rect(0, 0, p.Width, p.Height)}
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 92}); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return p
}

// runCover runs a command line and gives what it printed and its exit code.
func runCover(t *testing.T, args ...string) (out, problems string, code int) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	d := &door{out: &stdout, err: &stderr, now: func() time.Time { return time.Date(2027, 2, 10, 12, 0, 0, 0, time.UTC) }}
	code = run(context.Background(), d, append([]string{"cover"}, args...))
	return stdout.String(), stderr.String(), code
}

func TestCover(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	for i, name := range []string{"a.jpg", "b.jpg", "c.jpg"} {
		drawPhoto(t, at(name), func(s *drawn.Scene) { s.Seed = uint64(i) })
	}
	drawPhoto(t, at("wide.jpg"), func(s *drawn.Scene) { s.Width, s.Height = 1200, 300 })
	if err := os.WriteFile(at("notes.jpg"), []byte("hits 44\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name string
		args []string
		code int
		says []string
	}{
		{"one photo", []string{at("a.jpg")}, exitDone, []string{"640 by 480 pixels", "green 1", "residue", "bare soil"}},
		{"three", []string{at("a.jpg"), at("b.jpg"), at("c.jpg")}, exitDone, []string{"3 photos together: green", "Standard errors from how the photos differ"}},
		{"a panorama among them", []string{at("a.jpg"), at("b.jpg"), at("wide.jpg")}, exitDone, []string{"not used", "panorama", "2 photos together"}},
		{"a panorama only", []string{at("wide.jpg")}, exitBadInput, []string{"panorama", "no photo could be used"}},
		{"one that is none", []string{at("a.jpg"), at("notes.jpg")}, exitBadInput, []string{"notes.jpg: it is not a photo", "1 photo together", "1 photo could not be read"}},
		{"one that is not there", []string{at("z.jpg")}, exitFailed, []string{"z.jpg"}},
		{"a patch told", []string{at("a.jpg"), "--told", "A1:soil:soil", "--told", "b2:residue:soil"}, exitDone, []string{"green"}},
		{"a patch that is not there", []string{at("a.jpg"), "--told", "ZZ1:soil:soil"}, exitUsage, []string{"no patch", "A1 to AF24"}},
		{"a class that is none", []string{at("a.jpg"), "--told", "A1:soil:stone"}, exitUsage, []string{"stone", "expected"}},
		{"half a correction", []string{at("a.jpg"), "--told", "A1"}, exitUsage, []string{"F7:residue:soil"}},
		{"nothing", nil, exitUsage, []string{"expected photos, or lines"}},
		{"a line", []string{"--line", "44/100"}, exitDone, []string{"residue 44 %", "standard error 4.96 points", "flatters"}},
		{"five lines and the crop", []string{"--line", "40/100", "--line", "50/100", "--line", "30/100", "--line", "60/100", "--line", "40/100", "--crop", "wheat"}, exitDone, []string{"5 lines counted: residue 44 % (30 to 58), standard error 5.10", "wheat residue by the lines: 1,150"}},
		{"a line and a photo", []string{"--line", "44/100", at("a.jpg"), "--crop", "corn", "--units", "metric"}, exitDone, []string{"corn residue by the photos", "corn residue by the lines", "kg/ha"}},
		{"more hits than marks", []string{"--line", "101/100"}, exitUsage, []string{"101 hits on 100 marks"}},
		{"a line that is none", []string{"--line", "many"}, exitUsage, []string{"as 44/100"}},
		{"told for two", []string{at("a.jpg"), at("b.jpg"), "--told", "A1:soil:soil"}, exitUsage, []string{"single photo"}},
	} {
		out, problems, code := runCover(t, row.args...)
		if code != row.code {
			t.Errorf("%s: exit code %d, expected %d: %s", row.name, code, row.code, problems)
		}
		for _, word := range row.says {
			if !strings.Contains(out+problems, word) {
				t.Errorf("%s: does not say %q:\n%s%s", row.name, word, out, problems)
			}
		}
	}
}

func TestCoverAsJSONAndOutline(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	for i, name := range []string{"a.jpg", "b.jpg"} {
		drawPhoto(t, at(name), func(s *drawn.Scene) { s.Seed = uint64(i) })
	}
	out, problems, code := runCover(t, at("a.jpg"), at("b.jpg"), "--json", "--outline", at("patches.svg"))
	if code != exitDone {
		t.Fatalf("exit code %d: %s", code, problems)
	}
	var got coverJSON
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if got.Version != "culm.cover/1" || len(got.Photos) != 2 || got.Combined == nil || got.Combined.Photos != 2 || !got.Photos[0].Fit {
		t.Errorf("%s", out)
	}
	mean := (got.Photos[0].Cover.Green.Value + got.Photos[1].Cover.Green.Value) / 2
	if d := float64(got.Combined.Cover.Green.Value - mean); d > 1e-12 || d < -1e-12 {
		t.Errorf("green together %v, mean %v", got.Combined.Cover.Green.Value, mean)
	}
	for _, name := range []string{"patches-1.svg", "patches-2.svg"} {
		text, err := os.ReadFile(at(name))
		if err != nil || !bytes.HasPrefix(text, []byte("<svg ")) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
