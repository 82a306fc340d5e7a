package lab

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// outcome is what a cell of results says.
type outcome int

const (
	isNumber outcome = iota
	isEmpty          // nothing was measured
	isBelow          // under the limit that stands in the cell
	isOver           // over the limit that stands in the cell
	isNotDetected
	isUnreadable
)

// saying is a cell of results, taken apart.
type saying struct {
	outcome outcome
	value   float64
	unit    string // that stands in the cell, behind the number
	why     string // it cannot be read
}

// number is the text of a cell without the unit behind it.
func (s saying) number(text string) string {
	return strings.TrimSpace(strings.TrimSuffix(text, s.unit))
}

// everybodysWords for a test that was not made.
func everybodysWords() []string {
	return []string{"", "-", "--", "---", "–", "—", "n/a", "not tested", "not measured", "not analyzed", "not analysed"}
}

// readResult takes a cell of results apart. decimal is "." or ","; empty means that it is not known, and a
// number that would differ by it is unreadable.
func readResult(text, decimal string, notDetected, notMeasured []string) saying {
	text = strings.TrimSpace(strings.ReplaceAll(text, "\u00a0", " "))
	word := tidy(text)
	has := func(list []string) bool {
		return slices.ContainsFunc(list, func(w string) bool { return tidy(w) == word })
	}
	switch {
	case has(notDetected):
		return saying{outcome: isNotDetected}
	case has(everybodysWords()) || has(notMeasured):
		return saying{outcome: isEmpty}
	}
	what, rest := isNumber, text
	for _, sign := range []struct {
		text    string
		outcome outcome
	}{{"<=", isBelow}, {"<", isBelow}, {"≤", isBelow}, {">=", isOver}, {">", isOver}, {"≥", isOver}} {
		if after, ok := strings.CutPrefix(text, sign.text); ok {
			what, rest = sign.outcome, strings.TrimSpace(after)
			break
		}
	}
	number, unit := splitUnit(rest)
	v, ok := readNumber(number, decimal)
	if fault := decimalFault(number, decimal); fault != "" {
		return saying{outcome: isUnreadable, why: fault}
	}
	if !ok {
		return saying{outcome: isUnreadable, why: "the result cannot be read"}
	}
	return saying{outcome: what, value: v, unit: unit}
}

// decimalFault says what is wrong with the sign before a number's decimals: it is not the file's, or the file has no
// one sign. It is empty where nothing is.
func decimalFault(number, decimal string) string {
	_, okPoint := readNumber(number, ".")
	_, okComma := readNumber(number, ",")
	switch {
	case decimal == "" && dependsOnDecimal(number):
		return "nothing in the file tells whether its comma or point is before decimals or thousands"
	case decimal == "" && okPoint != okComma:
		return "the file has as many commas as points before decimals, and nothing tells which is right"
	case decimal == "." && okComma && !okPoint:
		return "the number has a comma where decimals have a point"
	case decimal == "," && okPoint && !okComma:
		return "the number has a point where decimals have a comma"
	default:
		return ""
	}
}

// splitUnit parts "12.5 lb/ac" into number and unit.
func splitUnit(text string) (number, unit string) {
	end := strings.IndexFunc(text, func(c rune) bool {
		return !(c >= '0' && c <= '9') && !strings.ContainsRune("+-., '’\u202f", c)
	})
	if end < 0 {
		return text, ""
	}
	// An exponent is part of the number: workbooks keep 0.012 as 1.2E-2.
	if m := withExponent.FindString(text); len(m) > end {
		end = len(m)
	}
	return strings.TrimSpace(text[:end]), strings.TrimSpace(text[end:])
}

// Numbers with signs for thousands, for each decimal sign. A space, an apostrophe or a narrow space may stand for
// thousands with either.
var (
	groupedPoint = regexp.MustCompile(`^[-+]?[0-9]{1,3}([, '’\x{202f}][0-9]{3})+(\.[0-9]+)?$`)
	groupedComma = regexp.MustCompile(`^[-+]?[0-9]{1,3}([. '’\x{202f}][0-9]{3})+(,[0-9]+)?$`)
	plainDecimal = regexp.MustCompile(`^[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]{1,3})?$`)
	withExponent = regexp.MustCompile(`^[-+]?[0-9.,]+[eE][-+]?[0-9]{1,3}`)
)

func grouped(text, decimal string) bool {
	if decimal == "," {
		return groupedComma.MatchString(text)
	}
	return groupedPoint.MatchString(text)
}

// readNumber reads a number whose decimal sign is known, with or without signs for thousands. With decimal ""
// the number must not depend on it.
func readNumber(text, decimal string) (float64, bool) {
	if decimal == "" {
		decimal = "."
		if strings.Contains(text, ",") && !grouped(text, ".") {
			decimal = ","
		}
	}
	if grouped(text, decimal) {
		text = strings.NewReplacer(" ", "", "'", "", "’", "", "\u202f", "", otherSign(decimal), "").Replace(text)
	}
	if decimal == "," {
		if strings.Contains(text, ".") {
			return 0, false
		}
		text = strings.Replace(text, ",", ".", 1)
	}
	if !plainDecimal.MatchString(text) {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
}

func otherSign(decimal string) string {
	if decimal == "," {
		return "."
	}
	return ","
}

// dependsOnDecimal says that a number reads otherwise with a comma before decimals: 1,234 and 1.234 do.
func dependsOnDecimal(number string) bool {
	point, okPoint := readNumber(number, ".")
	comma, okComma := readNumber(number, ",")
	return okPoint && okComma && point != comma
}

// findDecimal finds out the decimal sign from all numbers of a report: those that can be read only one way
// tell. Where they contradict each other, isMixed, it is the sign that most have, and those with the other are at
// fault. It is empty where none tells and one depends on it, or where both signs are as frequent. pointsAreUsual
// says that the form of the file speaks for points: commas part its columns, or it is a workbook, which keeps
// numbers with points. 1.234 then tells as well, while 1,234 still may be either.
func findDecimal(texts []string, pointsAreUsual bool) (decimal string, isMixed bool) {
	points, commas, open := 0, 0, 0
	for _, text := range texts {
		number, _ := splitUnit(strings.TrimLeft(strings.TrimSpace(text), "<>≤≥= "))
		_, okPoint := readNumber(number, ".")
		_, okComma := readNumber(number, ",")
		switch {
		case okPoint && okComma && dependsOnDecimal(number):
			if pointsAreUsual && strings.Contains(number, ".") {
				points++
			} else {
				open++
			}
		case okPoint && !okComma:
			points++
		case okComma && !okPoint:
			commas++
		}
	}
	switch {
	case commas > points:
		return ",", points > 0
	case points > commas || open == 0 && commas == 0:
		return ".", commas > 0
	default:
		return "", commas > 0
	}
}
