package folder

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"culm/exchange/nws"
	"culm/season"
)

// readForecastJSON reads forecast/<station>.json: a forecast written as the CSV is, with the same names, as
// a list of days, of hours or one of each; or else a grid forecast of the US National Weather Service as it is fetched.
func readForecastJSON(data []byte, station string, k *known, r *report) []made {
	if plain, ok := asPlainForecast(data); ok {
		return plain.read(station, k, r)
	}
	return readGrid(data, station, k, r)
}

// asPlainForecast says whether a file is a list of days or hours, and gives it.
func asPlainForecast(data []byte) (plain plainForecast, ok bool) {
	err := json.Unmarshal(data, &plain)
	return plain, err == nil && (plain.Days != nil || plain.Hours != nil)
}

// readGrid reads a grid forecast, in days of the station's zone.
func readGrid(data []byte, station string, k *known, r *report) []made {
	zone, ok := zoneOf(station, k, r)
	if !ok {
		return nil
	}
	f, problems, err := nws.Read(bytes.NewReader(data), station, zone)
	for _, p := range problems {
		r.add(p)
	}
	if err != nil {
		r.wrong(0, "", "the forecast cannot be read: "+err.Error(), "", `the reply of the weather service for a grid square, or an object with "issued" and "days" or "hours"`)
		return nil
	}
	e, err := k.habits.entry(f, stamp{}, season.Where{File: r.file})
	if err != nil {
		r.wrong(0, "", "the forecast cannot be kept: "+err.Error(), "", "")
		return nil
	}
	return []made{{entry: e}}
}

// plainForecast is the forecast in JSON: {"issued": "2027-02-10T05:30:00-06:00", "by": "...", "days": [{"date":
// "2027-02-10", "low_f": 22, "high_f": 49, "rain_in": 0}]}. The members of a day, or of an hour, are named as
// the columns of the CSV.
type plainForecast struct {
	Issued json.RawMessage   `json:"issued"`
	By     json.RawMessage   `json:"by"`
	Days   []json.RawMessage `json:"days"`
	Hours  []json.RawMessage `json:"hours"`
}

// read writes the items as a table and reads that, so that both forms mean the same. Problems name the item
// instead of the table's line.
func (p plainForecast) read(station string, k *known, r *report) []made {
	items := slices.Concat(p.Days, p.Hours)
	if len(items) == 0 || len(items) > 2*mostHours {
		r.wrong(0, "days", "the forecast has no items or too many", fmt.Sprint(len(items)), fmt.Sprintf("1 to %d days and hours", 2*mostHours))
		return nil
	}
	table, ok := p.table(items, r)
	if !ok {
		return nil
	}
	inner := &report{file: r.file}
	entries := readForecast(table, station, k, inner)
	for _, problem := range inner.all() {
		if item := problem.Line - 2; item >= 0 && item < len(items) {
			problem.Field = strings.TrimSuffix(p.named(item)+"."+problem.Field, ".")
		}
		problem.Line = 0
		r.add(problem)
	}
	for i := range entries {
		entries[i].lines, entries[i].entry.Where.Line = nil, 0
	}
	return entries
}

// named is an item's name: the days come first.
func (p plainForecast) named(item int) string {
	if item < len(p.Days) {
		return fmt.Sprintf("days[%d]", item)
	}
	return fmt.Sprintf("hours[%d]", item-len(p.Days))
}

// table writes the items as a CSV with a column for each name that any of them has.
func (p plainForecast) table(items []json.RawMessage, r *report) (table []byte, ok bool) {
	issued, okIssued := scalarText(p.Issued)
	by, okBy := scalarText(p.By)
	if !okIssued || !okBy || issued == "" {
		r.wrong(0, "issued", "the forecast does not say when it was issued", string(p.Issued), `"issued": "2027-02-10T05:30:00-06:00"`)
		return nil, false
	}
	heads := []string{"issued", "by"}
	rows := make([]map[string]string, len(items))
	for i, raw := range items {
		var members map[string]json.RawMessage
		if err := json.Unmarshal(raw, &members); err != nil {
			r.wrong(0, p.named(i), "the item cannot be read", string(raw), "an object in braces")
			return nil, false
		}
		rows[i] = map[string]string{"issued": issued, "by": by}
		for name, value := range members {
			text, isScalar := scalarText(value)
			if !isScalar {
				r.wrong(0, p.named(i)+"."+name, "the value cannot be read", string(value), "a number, text or null")
				return nil, false
			}
			if !slices.Contains(heads, name) {
				heads = append(heads, name)
			}
			rows[i][name] = text
		}
	}
	slices.Sort(heads[2:])
	table = appendRow(table, heads)
	for _, row := range rows {
		cells := make([]string, len(heads))
		for i, head := range heads {
			cells[i] = row[head]
		}
		table = appendRow(table, cells)
	}
	return table, true
}

func appendRow(table []byte, cells []string) []byte {
	for i, cell := range cells {
		if i > 0 {
			table = append(table, ',')
		}
		table = appendCell(table, strings.NewReplacer("\n", " ", "\r", " ").Replace(cell))
	}
	return append(table, '\n')
}

// scalarText is the text of a number, a string, or nothing.
func scalarText(raw json.RawMessage) (string, bool) {
	var text string
	switch {
	case len(raw) == 0 || string(raw) == "null":
		return "", true
	case json.Unmarshal(raw, &text) == nil:
		return text, true
	case strings.ContainsRune("-0123456789", rune(raw[0])):
		return string(raw), true
	default:
		return "", false
	}
}
