package ghcn

import (
	"strings"

	"culm/agronomy/calendar"
)

// A line of the CSV form: station, day as 20270210, element, value, measurement flag, quality flag, source
// flag, hour of reading. The last may be left out, as in some years' files.
const (
	csvLeast = 7
	csvMost  = 8
)

func isCSVLine(line string) bool {
	cells := strings.Split(line, ",")
	return len(cells) >= csvLeast && len(cells) <= csvMost && isStation(bare(cells[0])) && isElement(bare(cells[2])) && isDate(bare(cells[1]))
}

// isCSVHead says that a line is the row of column names which some collections put on top.
func isCSVHead(line string) bool {
	cells := strings.Split(strings.ToUpper(line), ",")
	return len(cells) >= csvLeast && (bare(cells[0]) == "ID" || bare(cells[0]) == "STATION_ID") && bare(cells[2]) == "ELEMENT"
}

// isWideHead says that the file has a column for each element, as the network's order desk sends it.
func isWideHead(line string) bool {
	cells := strings.Split(strings.ToUpper(line), ",")
	if len(cells) < 3 || bare(cells[0]) != "STATION" {
		return false
	}
	for _, c := range cells {
		if bare(c) == "PRCP" || bare(c) == "TMAX" {
			return true
		}
	}
	return false
}

// bare is a cell without blanks and quotation marks. No cell of this form holds a comma.
func bare(cell string) string { return strings.Trim(strings.TrimSpace(cell), `"`) }

func isDate(text string) bool { return len(text) == 8 && strings.Trim(text, "0123456789") == "" }

func (r *reader) csvLine(line string) {
	if r.line == 1 && isCSVHead(line) {
		return
	}
	cells := strings.Split(line, ",")
	for i := range cells {
		cells[i] = bare(cells[i])
	}
	if len(cells) < csvLeast || len(cells) > csvMost || !isStation(cells[0]) || !isElement(cells[2]) {
		r.doubt("", "the line cannot be read and is left out", clip(line), "station, day, element, value, three flags, hour of reading")
		return
	}
	if !r.isWanted(cells[0]) {
		return
	}
	day, ok := parseDay(cells[1])
	if !ok {
		r.doubt("date", "there is no such day; the line is left out", clip(cells[1]), "year, month and day such as 20270210")
		return
	}
	n, err := number(cells[3])
	switch {
	case err != nil:
		r.doubt(cells[2], "the value cannot be read and is left out", clip(cells[3]), "a whole number")
	case n == none:
	default:
		v := value{element: cells[2], day: day, number: n, measure: cells[4], quality: cells[5], line: r.line}
		if len(cells) == csvMost {
			v.hours = cells[7]
		}
		r.take(v)
	}
}

// parseDay reads 20270210, a day that there is.
func parseDay(text string) (calendar.Day, bool) {
	if !isDate(text) {
		return calendar.Day{}, false
	}
	day, err := calendar.Parse(text[:4] + "-" + text[4:6] + "-" + text[6:])
	return day, err == nil && text[:4] > "1699" && text[:4] < "2201"
}

func isStation(id string) bool {
	if len(id) != idEnd {
		return false
	}
	for i := range len(id) {
		c := id[i]
		if !(c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' || c == '-') {
			return false
		}
	}
	return id[0] >= 'A' && id[0] <= 'Z' && id[1] >= 'A' && id[1] <= 'Z'
}

func isElement(name string) bool {
	if len(name) != 4 {
		return false
	}
	for i := range len(name) {
		if c := name[i]; !(c >= 'A' && c <= 'Z' || c >= '0' && c <= '9') {
			return false
		}
	}
	return name[0] >= 'A' && name[0] <= 'Z'
}
