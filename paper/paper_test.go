package paper_test

import (
	"bytes"
	"os/exec"
	"strings"
	"testing"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/demo"
	"culm/paper"
	"culm/season"
)

// district gives the plans of the demonstration, with their fields' outlines.
func district(tb testing.TB, fields int, units unit.System) ([]advice.Plan, []*season.Boundary) {
	tb.Helper()
	a, err := advice.NewAdvisor()
	if err != nil {
		tb.Fatal(err)
	}
	s := season.Assemble(demo.Season(fields, 1))
	s.Settings.Units = units
	var plans []advice.Plan
	var outlines []*season.Boundary
	for _, f := range s.Fields {
		fs, _ := s.Of(f.ID, demo.Today())
		plans = append(plans, a.Advise(fs))
		outlines = append(outlines, fs.Boundary)
	}
	return plans, outlines
}

// text reads a PDF back with an independent program.
func text(t *testing.T, pdf []byte) string {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("SKIPPED: pdftotext (Debian package poppler-utils) is not here")
	}
	cmd := exec.Command("pdftotext", "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(pdf)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// words drops everything that layout may change: white space and the kinds of space.
func words(s string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("\u202f", " ", "\u00a0", " ").Replace(s)), " ")
}

func TestThePageSaysWhatThePlanSays(t *testing.T) {
	for _, units := range []unit.System{unit.US, unit.Metric} {
		plans, outlines := district(t, 24, units)
		for i := range plans {
			p := &plans[i]
			pdf, err := paper.Page(p, outlines[i])
			if err != nil {
				t.Fatal(err)
			}
			got := text(t, pdf)
			if pages := strings.Count(got, "\f"); pages != 1 {
				t.Errorf("%s: %d pages, want one", p.Field.Name, pages)
			}
			got = words(got)
			for _, want := range []string{p.Field.Name, p.Producer.Name, "INVENTED", "licensed person decide", "What was really spread"} {
				if !strings.Contains(strings.ToLower(got), strings.ToLower(words(want))) {
					t.Errorf("%s: the page does not say %q", p.Field.Name, want)
				}
			}
			// The sentence is broken over lines beside the outline; its words come in order all the same.
			at := 0
			for _, w := range strings.Fields(words(p.Sentence.Read(&p.Figures, units))) {
				next := strings.Index(got[at:], w)
				if next < 0 {
					t.Errorf("%s: the sentence's %q is missing or out of order", p.Field.Name, w)
					break
				}
				at += next
			}
		}
	}
}

func TestTheSamePlanGivesTheSameBytes(t *testing.T) {
	plans, outlines := district(t, 24, unit.US)
	for i := range plans {
		first, err1 := paper.Page(&plans[i], outlines[i])
		second, err2 := paper.Page(&plans[i], outlines[i])
		if err1 != nil || err2 != nil || !bytes.Equal(first, second) {
			t.Errorf("%s: errors %v and %v, same bytes %v", plans[i].Field.Name, err1, err2, bytes.Equal(first, second))
		}
	}
}

// Long names and letters beyond English print, and no outline is no error.
func TestUnusualNames(t *testing.T) {
	plans, _ := district(t, 24, unit.US)
	p := &plans[0]
	p.Field.Name = "Żółta Gęś — the long piece along the creek below the old schoolhouse, north half and the eighty beyond"
	pdf, err := paper.Page(p, nil)
	if err != nil {
		t.Fatal(err)
	}
	if got := words(text(t, pdf)); !strings.Contains(got, "Żółta Gęś") || strings.Count(text(t, pdf), "\f") != 1 {
		t.Errorf("the page reads %.200q", got)
	}
}

func BenchmarkPage(b *testing.B) {
	plans, outlines := district(b, 24, unit.US)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := paper.Page(&plans[i%len(plans)], outlines[i%len(plans)]); err != nil {
			b.Fatal(err)
		}
	}
}
