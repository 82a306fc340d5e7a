package ghcn

import (
	"fmt"
	"strings"

	"culm/agronomy/calendar"
)

// value is one number of a file as it stands there.
type value struct {
	element                 string
	day                     calendar.Day
	number                  int
	measure, quality, hours string // flags, and the hour of reading as HHMM; empty where blank
	line                    int
}

// none is written where nothing was measured.
const none = -9999

// The measurement flags that change what a value means.
const (
	traceFlag    = "T"
	presumedFlag = "P" // missing, presumed zero
	laggedFlag   = "L" // the temperature seems to belong to another hour than that of reading
)

// failed says in words which check of the network a value has failed.
func failed(quality string) string {
	switch quality {
	case "D":
		return "it repeats other days"
	case "G":
		return "it lies apart from all others"
	case "I":
		return "it contradicts another value of the day"
	case "K":
		return "it stands too often in a row"
	case "L":
		return "its span of days was longer than it says"
	case "M":
		return "it contradicts the whole record"
	case "N":
		return "it is zero where it should be missing"
	case "O":
		return "it lies far outside the climate"
	case "R":
		return "it does not fit the days beside it"
	case "S":
		return "it does not fit the stations around"
	case "T":
		return "it jumps from day to day"
	case "W":
		return "it was too warm for snow"
	case "X":
		return "it is impossible"
	default:
		return "it was found wrong"
	}
}

// readsInTheMorning says whether the hour of reading lies before noon; known is false where the file does not
// give one. Midnight is the end of the day that is read, written 2400 or 0000.
func (v value) readsInTheMorning() (morning, known bool) {
	if len(v.hours) != 4 || strings.Trim(v.hours, "0123456789") != "" || v.hours == "9999" {
		return false, false
	}
	return v.hours < "1200" && v.hours != "0000", true
}

// number reads a whole number with blanks before it.
func number(text string) (int, error) {
	trimmed := strings.TrimSpace(text)
	digits := strings.TrimPrefix(trimmed, "-")
	if digits == "" || len(digits) > 6 || strings.Trim(digits, "0123456789") != "" {
		return 0, fmt.Errorf("%q is not a whole number", text)
	}
	n := 0
	for _, c := range digits {
		n = 10*n + int(c-'0')
	}
	if digits != trimmed {
		n = -n
	}
	return n, nil
}
