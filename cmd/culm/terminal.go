package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/agronomy/working"

	"golang.org/x/term"
)

func isTerminal(f *os.File) bool { return term.IsTerminal(int(f.Fd())) }

// lineWidth is how far a line runs before it is broken: a comfortable measure for reading.
const lineWidth = 96

// terminal writes plans for a person at a terminal.
type terminal struct {
	w     io.Writer
	units unit.System
	// full also prints days, ways and the field's cautions; working how each number came about.
	full, working bool
}

// plan prints the decision, why, and what stands beside it.
func (t terminal) plan(p *advice.Plan) {
	l := &p.Figures
	fmt.Fprintf(t.w, "%s — %s, %s", p.Field.Name, p.Producer.Name, p.Field.Crop)
	if area, ok := l.Get("area"); ok {
		fmt.Fprintf(t.w, ", %s", area.Show(t.units))
	}
	fmt.Fprintln(t.w)
	t.wrap("  ", "  ", p.Sentence.Read(l, t.units))
	if p.Changed != nil {
		t.wrap("    changed ", "            ", p.Changed.Sentence.Read(l, t.units))
	}
	for _, reason := range p.Reasons {
		t.wrap("    because ", "            ", reason.Read(l, t.units))
	}
	if placed := p.PlacedIn(t.units); placed != "" {
		t.wrap("    placed  ", "            ", placed)
	}
	for _, n := range p.Warnings {
		t.wrap("    doubt   ", "            ", n.Text)
	}
	for _, m := range p.Missing {
		t.wrap("    missing ", "            ", m.What+": "+m.Brings)
	}
	for _, c := range p.Cautions {
		if !c.Always && t.full {
			t.wrap("    caution ", "            ", c.Text)
		}
	}
	if t.full {
		t.rates(p)
		t.days(p)
	}
	if t.working {
		t.figures(p)
	}
	fmt.Fprintln(t.w)
}

// rates prints the published ways side by side.
func (t terminal) rates(p *advice.Plan) {
	if len(p.Rates) == 0 {
		return
	}
	fmt.Fprintln(t.w, "    ways of finding the rate (> the decision follows it)")
	for _, r := range p.Rates {
		mark, answer := " ", "cannot answer: "+r.Why
		if r.Lead {
			mark = ">"
		}
		if r.Answered {
			f, _ := p.Figures.Get(r.Figure)
			answer = f.ShowWithRange(t.units) + "  [" + string(r.Status) + "]"
			if len(r.Assumed) > 0 {
				answer += "  assumed: " + strings.Join(r.Assumed, ", ")
			}
		}
		t.wrap(fmt.Sprintf("     %s %-34s ", mark, r.Name), strings.Repeat(" ", 42), answer)
	}
	if explained := p.Spread.Explained.Read(&p.Figures, t.units); explained != "" {
		t.wrap("       ", "       ", explained)
	}
}

// days prints the coming days, one a line.
func (t terminal) days(p *advice.Plan) {
	if len(p.Days) == 0 {
		return
	}
	fmt.Fprintln(t.w, "    the coming days")
	for _, d := range p.Days {
		mark := " "
		if d.Best {
			mark = ">"
		}
		state := t.lost(d) + d.Why
		if d.Stop != "" {
			state = "no: " + d.Stop
		}
		if len(d.Flags) > 0 {
			state += "; " + strings.Join(d.Flags, "; ")
		}
		t.wrap(fmt.Sprintf("     %s %-11s ", mark, d.Day.Short()), strings.Repeat(" ", 19), state)
	}
}

// lost says what a day would lose, with its range, and marks a day beyond the forecast.
func (t terminal) lost(d advice.DayOutlook) string {
	show := func(f unit.Fraction) string { return unit.Show(unit.KindFraction, float64(f), t.units).String() }
	text := fmt.Sprintf("%s lost (%s to %s): ", show(d.Loss), show(d.LossLow), show(d.LossHigh))
	if !d.Forecast {
		return "beyond the forecast, " + text
	}
	return text
}

// figures prints the working of every number.
func (t terminal) figures(p *advice.Plan) {
	fmt.Fprintln(t.w, "    working")
	for _, f := range p.Figures.All() {
		t.wrap("      ", "        ", fmt.Sprintf("%s [%s] = %s", f.Label, f.ID, f.ShowWithRange(t.units)))
		if f.Expression != "" {
			t.wrap("        = ", "          ", f.Expression)
		}
		if f.Origin.Kind != "" {
			t.wrap("        ", "          ", describeOrigin(p, f.Origin))
		}
		for _, in := range f.Inputs {
			t.wrap("        · ", "          ", fmt.Sprintf("%s %s — %s", in.Label, in.Show(t.units), describeInput(p, in)))
		}
		if s, ok := p.Source(f.Source); ok {
			t.wrap("        source ", "               ", fmt.Sprintf("%s [%s]", s.Text, f.Status))
		}
		for _, e := range f.WouldChange {
			t.wrap("        if ", "           ", fmt.Sprintf("%s were %s: %s", e.Input, off(e.By, t.units), e.To.Show(t.units)))
		}
		for _, n := range f.Notes {
			t.wrap("        note ", "             ", n)
		}
	}
}

// off says how far an input is moved, and which way.
func off(by working.Amount, s unit.System) string {
	if by.Base < 0 {
		by.Base = -by.Base
		return by.Show(s).String() + " lower"
	}
	return by.Show(s).String() + " higher"
}

func describeInput(p *advice.Plan, in working.Input) string {
	if in.Figure != "" {
		return "see [" + string(in.Figure) + "]"
	}
	return describeOrigin(p, in.Origin)
}

// describeOrigin says in words where a value comes from.
func describeOrigin(p *advice.Plan, o working.Origin) string {
	parts := []string{string(o.Kind)}
	switch o.Kind {
	case working.Assumed:
		parts[0] = "ASSUMED"
	case working.Rulebook:
		parts[0] = "from the rulebook"
	case working.Setting:
		parts[0] = "set"
	}
	if o.By != "" {
		parts = append(parts, "by "+o.By)
	}
	if !o.On.IsZero() {
		parts = append(parts, "on "+o.On.String())
	}
	if o.With != "" {
		parts = append(parts, "with "+o.With)
	}
	if o.Why != "" {
		parts = append(parts, "("+o.Why+")")
	}
	if o.Where != "" {
		parts = append(parts, "at "+o.Where)
	}
	if s, ok := p.Source(o.Source); ok {
		parts = append(parts, "— "+s.Text)
	}
	return strings.Join(parts, " ")
}

// wrap prints text broken between words, each line after the first behind its own indent.
func (t terminal) wrap(first, rest, text string) {
	line, width := first, utf8.RuneCountInString(first)
	empty := true
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' }) {
		n := utf8.RuneCountInString(word)
		if !empty && width+1+n > lineWidth {
			fmt.Fprintln(t.w, line)
			line, width, empty = rest, utf8.RuneCountInString(rest), true
		}
		if !empty {
			line, width = line+" ", width+1
		}
		line, width, empty = line+word, width+n, false
	}
	fmt.Fprintln(t.w, line)
}
