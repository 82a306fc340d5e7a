package nws

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// interval is a span of time: from its start up to but not including its end.
type interval struct{ start, end time.Time }

// parseInterval reads an ISO 8601 interval in the three ways the service may write it: start/end,
// start/duration or duration/end. NOW stands for the time the forecast was issued.
func parseInterval(text string, now time.Time) (interval, error) {
	left, right, cut := strings.Cut(text, "/")
	if !cut {
		return interval{}, fmt.Errorf("%q is not an interval; expected start/duration such as 2027-02-10T06:00:00+00:00/PT6H", clip(text))
	}
	var iv interval
	var err error
	switch {
	case strings.HasPrefix(left, "P"):
		if iv.end, err = parseTime(right, now); err != nil {
			return interval{}, err
		}
		iv.start, err = shift(iv.end, left, -1)
	case strings.HasPrefix(right, "P"):
		if iv.start, err = parseTime(left, now); err != nil {
			return interval{}, err
		}
		iv.end, err = shift(iv.start, right, 1)
	default:
		if iv.start, err = parseTime(left, now); err != nil {
			return interval{}, err
		}
		iv.end, err = parseTime(right, now)
	}
	if err != nil {
		return interval{}, err
	}
	if !iv.end.After(iv.start) {
		return interval{}, fmt.Errorf("the interval %q ends before it begins", clip(text))
	}
	return iv, nil
}

func parseTime(text string, now time.Time) (time.Time, error) {
	if text == "NOW" {
		return now, nil
	}
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return time.Time{}, fmt.Errorf("%q is not a time; expected such as 2027-02-10T06:00:00+00:00", clip(text))
	}
	return t, nil
}

// shift moves a time by an ISO 8601 duration such as P7DT14H, forward or, with sign -1, back. Years and
// months are those of the calendar.
func shift(t time.Time, duration string, sign int) (time.Time, error) {
	wrong := fmt.Errorf("%q is not a duration; expected such as PT6H or P1DT12H", clip(duration))
	days, clock, hasClock := strings.Cut(strings.TrimPrefix(duration, "P"), "T")
	dayParts, ok := readParts(days, "YMD")
	if !ok {
		return t, wrong
	}
	clockParts, ok := readParts(clock, "HMS")
	if !ok || hasClock && clock == "" || days == "" && clock == "" {
		return t, wrong
	}
	t = t.AddDate(sign*dayParts[0], sign*dayParts[1], sign*dayParts[2])
	span := time.Duration(clockParts[0])*time.Hour + time.Duration(clockParts[1])*time.Minute + time.Duration(clockParts[2])*time.Second
	return t.Add(time.Duration(sign) * span), nil
}

// readParts reads whole numbers each followed by its letter, in the order of the letters; any may be absent.
func readParts(text, letters string) ([3]int, bool) {
	var parts [3]int
	next := 0
	for text != "" {
		digits := strings.IndexFunc(text, func(r rune) bool { return r < '0' || r > '9' })
		if digits < 1 || digits > 5 { // 99999 hours are eleven years
			return parts, false
		}
		at := strings.IndexByte(letters[next:], text[digits])
		if at < 0 {
			return parts, false
		}
		next += at
		parts[next], _ = strconv.Atoi(text[:digits])
		next++
		text = text[digits+1:]
	}
	return parts, true
}

// clip keeps a hostile text from filling a message.
func clip(text string) string {
	const most = 60
	if len(text) <= most {
		return text
	}
	return strings.ToValidUTF8(text[:most], "") + "…"
}
