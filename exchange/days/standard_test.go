package days_test

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"culm/internal/opendata"
)

// The rules of RFC 5545 that a calendar of events has to keep, by section. They are written down here from the
// standard and know nothing of the program that writes.

// property is a content line, unfolded.
type property struct{ name, parameters, value string }

// component is what stands between BEGIN and END.
type component struct {
	name       string
	properties []property
	parts      []*component
}

func (c *component) all(name string) []property {
	var found []property
	for _, p := range c.properties {
		if p.name == name {
			found = append(found, p)
		}
	}
	return found
}

func (c *component) value(name string) string {
	if all := c.all(name); len(all) > 0 {
		return all[0].value
	}
	return ""
}

// unfold takes a file apart into content lines (3.1), and complains of lines that are too long or end otherwise than
// in CR LF. Samples kept with plain LF are read with strictEnds false.
func unfold(text string, strictEnds bool) (lines []string, wrong []string) {
	complain := func(format string, args ...any) { wrong = append(wrong, fmt.Sprintf(format, args...)) }
	if !utf8.ValidString(text) {
		complain("3.1.4: not UTF-8")
	}
	if !strictEnds {
		text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\n", "\r\n")
		text = strings.TrimSuffix(text, "\r\n") + "\r\n"
	}
	if !strings.HasSuffix(text, "\r\n") {
		complain("3.1: the last line does not end in CR LF")
	}
	for i, line := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		switch {
		case len(line) > 75:
			complain("3.1: line %d has %d octets, more than 75", i+1, len(line))
		case strings.ContainsAny(line, "\r\n"):
			complain("3.1: line %d holds a CR or LF of its own", i+1)
		}
		if !utf8.ValidString(line) {
			complain("3.1: line %d is folded within a character", i+1) // allowed there, but best not done
		}
		if folded := strings.HasPrefix(line, " ") || strings.HasPrefix(line, "\t"); folded && len(lines) > 0 {
			lines[len(lines)-1] += line[1:]
			continue
		}
		lines = append(lines, line)
	}
	return lines, wrong
}

var contentLine = regexp.MustCompile(`^([A-Za-z0-9-]+)((?:;[A-Za-z0-9-]+=(?:"[^"]*"|[^";:,]*)(?:,(?:"[^"]*"|[^";:,]*))*)*):(.*)$`)

// parse reads content lines into components (3.4, 3.6).
func parse(lines []string) (*component, []string) {
	var wrong []string
	root := &component{}
	stack := []*component{root}
	for _, line := range lines {
		m := contentLine.FindStringSubmatch(line)
		if m == nil {
			wrong = append(wrong, fmt.Sprintf("3.1: not a content line: %q", line))
			continue
		}
		p, top := property{strings.ToUpper(m[1]), strings.ToUpper(m[2]), m[3]}, stack[len(stack)-1]
		switch p.name {
		case "BEGIN":
			c := &component{name: strings.ToUpper(p.value)}
			top.parts = append(top.parts, c)
			stack = append(stack, c)
		case "END":
			if len(stack) == 1 || top.name != strings.ToUpper(p.value) {
				return root, append(wrong, fmt.Sprintf("3.6: END:%s within %q", p.value, top.name))
			}
			stack = stack[:len(stack)-1]
		default:
			top.properties = append(top.properties, p)
		}
	}
	if len(stack) != 1 {
		wrong = append(wrong, "3.6: a component is not ended")
	}
	return root, wrong
}

var (
	dateForm  = regexp.MustCompile(`^\d{8}$`)
	utcForm   = regexp.MustCompile(`^\d{8}T\d{6}Z$`)
	badEscape = regexp.MustCompile(`\\[^\\;,nN]|\\$`)
)

// checkText checks a value of type TEXT (3.3.11).
func checkText(p property) (wrong []string) {
	bare := strings.NewReplacer(`\\`, "", `\;`, "", `\,`, "", `\n`, "", `\N`, "").Replace(p.value)
	if badEscape.MatchString(strings.ReplaceAll(p.value, `\\`, "")) || strings.ContainsAny(bare, `;,\`) {
		wrong = append(wrong, fmt.Sprintf("3.3.11: %s is not escaped: %q", p.name, p.value))
	}
	for _, r := range p.value {
		if r < 0x20 && r != '\t' || r == 0x7f {
			wrong = append(wrong, fmt.Sprintf("3.1: %s holds the control character %U", p.name, r))
		}
	}
	return wrong
}

// checkCalendar checks a VCALENDAR and its events.
func checkCalendar(c *component) (wrong []string) {
	complain := func(format string, args ...any) { wrong = append(wrong, fmt.Sprintf(format, args...)) }
	if len(c.all("PRODID")) != 1 || len(c.all("VERSION")) != 1 || c.value("VERSION") != "2.0" {
		complain("3.6: PRODID and VERSION:2.0 must stand once")
	}
	if len(c.all("CALSCALE")) > 1 || len(c.all("METHOD")) > 1 {
		complain("3.6: CALSCALE and METHOD at most once")
	}
	identifiers := map[string]bool{}
	for _, e := range c.parts {
		if e.name != "VEVENT" {
			continue
		}
		wrong = append(wrong, checkEvent(e)...)
		if id := e.value("UID") + e.value("RECURRENCE-ID"); identifiers[id] {
			complain("3.8.4.7: two events with UID %s", id)
		} else {
			identifiers[id] = true
		}
	}
	return wrong
}

// checkEvent checks a VEVENT (3.6.1).
func checkEvent(e *component) (wrong []string) {
	complain := func(format string, args ...any) { wrong = append(wrong, fmt.Sprintf(format, args...)) }
	for _, name := range []string{"UID", "DTSTAMP", "DTSTART"} {
		if len(e.all(name)) != 1 {
			complain("3.6.1: %s must stand once", name)
		}
	}
	for _, name := range []string{"CLASS", "CREATED", "DESCRIPTION", "GEO", "LAST-MODIFIED", "LOCATION", "PRIORITY", "SEQUENCE", "STATUS", "SUMMARY", "TRANSP", "URL", "DTEND"} {
		if len(e.all(name)) > 1 {
			complain("3.6.1: %s at most once", name)
		}
	}
	for _, name := range []string{"DTSTAMP", "LAST-MODIFIED", "CREATED"} {
		if v := e.value(name); v != "" && !utcForm.MatchString(v) {
			complain("3.8.7: %s must be in UTC: %q", name, v)
		}
	}
	if s := e.value("SEQUENCE"); s != "" && !regexp.MustCompile(`^\d+$`).MatchString(s) {
		complain("3.8.7.4: SEQUENCE %q", s)
	}
	switch s := e.value("STATUS"); s {
	case "", "TENTATIVE", "CONFIRMED", "CANCELLED":
	default:
		complain("3.8.1.11: STATUS %q", s)
	}
	wrong = append(wrong, checkSpan(e)...)
	for _, name := range []string{"SUMMARY", "DESCRIPTION", "LOCATION"} {
		for _, p := range e.all(name) {
			wrong = append(wrong, checkText(p)...)
		}
	}
	return wrong
}

// checkSpan: DTEND is of the same type as DTSTART and later (3.8.2.2).
func checkSpan(e *component) (wrong []string) {
	ends := e.all("DTEND")
	if len(e.all("DTSTART")) != 1 || len(ends) != 1 {
		return nil
	}
	start, end := e.all("DTSTART")[0], ends[0]
	isDate := func(p property) bool { return strings.Contains(p.parameters+";", "VALUE=DATE;") }
	if isDate(start) != isDate(end) || isDate(start) && (!dateForm.MatchString(start.value) || !dateForm.MatchString(end.value)) {
		wrong = append(wrong, fmt.Sprintf("3.8.2.2: from %q to %q are not of one type", start.value, end.value))
	}
	if end.value <= start.value {
		wrong = append(wrong, fmt.Sprintf("3.8.2.2: ends on %q, not after %q", end.value, start.value))
	}
	return wrong
}

// checked reads and checks a calendar.
func checked(text string, strictEnds bool) (calendars []*component, wrong []string) {
	lines, wrong := unfold(text, strictEnds)
	root, more := parse(lines)
	wrong = append(wrong, more...)
	for _, c := range root.parts {
		wrong = append(wrong, checkCalendar(c)...)
	}
	return root.parts, wrong
}

// The rules accept the samples, most of which were kept with plain line ends, as far as they keep the rules: some are
// parts of calendars, and what they lack is named here.
func TestTheRulesAcceptTheSamples(t *testing.T) {
	const fragment = "3.6: PRODID and VERSION:2.0 must stand once"
	for file, lacks := range map[string][]string{
		"rfc_7265_appendix_example_1_ical.ics": nil, "rfc_7265_appendix_example_2_ical.ics": nil, "calendar_with_unicode.ics": nil,
		"america_new_york.ics":       {fragment, "DTSTAMP"},
		"timezoned.ics":              {`LOCATION is not escaped: "aka bild, wien"`},
		"multiple_timezones.ics":     {fragment, "DTSTAMP"},
		"example.ics":                {`ends on "20220101", not after "20220101"`, "DTSTAMP", `"20220107"`, `"20220308"`},
		"rfc_5545_RDATE_example.ics": {fragment, "DTSTAMP", "DTSTART"},
	} {
		text, err := os.ReadFile(opendata.Path(t, "std_icalendar/"+file))
		if err != nil {
			t.Fatal(err)
		}
		_, wrong := checked(string(text), false)
		for _, w := range wrong {
			if !slices.ContainsFunc(lacks, func(l string) bool { return strings.Contains(w, l) }) {
				t.Errorf("%s: %s", file, w)
			}
		}
		for _, l := range lacks {
			if !strings.Contains(strings.Join(wrong, "; "), l) {
				t.Errorf("%s: nobody complains of %s", file, l)
			}
		}
	}
}

// They find what they are there for.
func TestTheRulesFindMistakes(t *testing.T) {
	whole := "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20270210T110000Z\r\nDTSTART;VALUE=DATE:20270210\r\nDTEND;VALUE=DATE:20270211\r\nSUMMARY:a\\, b\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
	if _, wrong := checked(whole, true); len(wrong) > 0 {
		t.Fatalf("a sound calendar: %v", wrong)
	}
	for _, c := range []struct{ from, to, says string }{
		{"\r\n", "\n", "3.1"},
		{`a\, b`, "a, b", "3.3.11"},
		{`a\, b`, `a\: b`, "3.3.11"},
		{"SUMMARY:a", "SUMMARY:" + strings.Repeat("a", 70), "75"},
		{"20270211", "20270210", "3.8.2.2"},
		{"110000Z", "110000", "UTC"},
		{"UID:1\r\n", "", "UID"},
		{"END:VEVENT\r\n", "", "3.6"},
		{"VERSION:2.0\r\n", "", "VERSION"},
	} {
		if _, wrong := checked(strings.ReplaceAll(whole, c.from, c.to), true); !strings.Contains(strings.Join(wrong, "; "), c.says) {
			t.Errorf("%q for %q: %v", c.to, c.from, wrong)
		}
	}
}
