package photo_test

import (
	"bytes"
	"encoding/xml"
	"image"
	"io"
	"strings"
	"testing"

	"culm/agronomy/cover"
	"culm/agronomy/cover/drawn"
	"culm/exchange/photo"
)

func TestOutlinesAreDrawn(t *testing.T) {
	scene := drawn.NoTill(1)
	scene.LeafWidth = 14
	picture := drawn.Draw(scene)
	file := asPNG(t, &image.RGBA{Pix: picture.RGBA, Stride: 4 * picture.Width, Rect: image.Rect(0, 0, picture.Width, picture.Height)})
	p, err := photo.Read(`a "good" <photo>.png`, bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	seen, err := cover.Look(p.Pixels)
	if err != nil {
		t.Fatal(err)
	}
	seen.Warnings = append(seen.Warnings, cover.Warning{Kind: cover.Blur, Text: "blurred & more"})
	var out bytes.Buffer
	if err := photo.WriteOutlines(&out, p, seen); err != nil {
		t.Fatal(err)
	}
	counts := map[string]int{}
	var title string
	for decoder := xml.NewDecoder(bytes.NewReader(out.Bytes())); ; {
		token, err := decoder.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("not XML: %v", err)
		}
		if start, ok := token.(xml.StartElement); ok {
			counts[start.Name.Local]++
			if start.Name.Local == "title" {
				if err := decoder.DecodeElement(&title, &start); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	areas := len(seen.Grid.Outlines())
	if counts["image"] != 1 || counts["pattern"] != 4 {
		t.Errorf("%d pictures, %d patterns; expected 1 and 4", counts["image"], counts["pattern"])
	}
	// Two paths for each area, the lines of two patterns, and the grid.
	if lines := counts["path"]; lines != 2*areas+3+1 {
		t.Errorf("%d paths for %d areas", lines, areas)
	}
	if !strings.HasPrefix(title, `a "good" <photo>.png: green `) {
		t.Errorf("title %q", title)
	}
	if !strings.Contains(out.String(), "blurred &amp; more") {
		t.Error("the warning is not written")
	}
}
