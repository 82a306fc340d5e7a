package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Value is a number as a person typed it, with the unit if they gave one.
type Value struct {
	Number  float64
	Unit    Unit
	HasUnit bool
}

// ParseValue reads a number with or without a unit: "40lb/ac", "40 lb N/ac", "4.5", "$5.50/bu", "1,200 lb/ac",
// "2 %".
func ParseValue(text string) (Value, error) {
	text = strings.TrimSpace(text)
	if len(text) > maxText {
		return Value{}, fmt.Errorf("found %d letters and signs, expected a number and a unit", len(text))
	}
	body, isMoney := strings.CutPrefix(text, "$")
	number, rest := cutNumber(strings.TrimLeft(body, " "))
	v, err := strconv.ParseFloat(strings.ReplaceAll(number, ",", ""), 64)
	if err != nil || math.IsInf(v, 0) || !groupedByThousands(number) {
		return Value{}, fmt.Errorf("found %q, expected a number such as 40 or 40 lb/ac", text)
	}
	rest = strings.TrimSpace(rest)
	if isMoney {
		rest = "$" + rest
	}
	if rest == "" {
		return Value{Number: v}, nil
	}
	u, err := Parse(rest)
	if err != nil {
		return Value{}, err
	}
	return Value{Number: v, Unit: u, HasUnit: true}, nil
}

// cutNumber splits digits, sign, point and exponent from what follows.
func cutNumber(s string) (number, rest string) {
	i := 0
	for i < len(s) && (s[i] >= '0' && s[i] <= '9' || s[i] == '.' || s[i] == ',' || i == 0 && (s[i] == '-' || s[i] == '+')) {
		i++
	}
	if i < len(s)-1 && (s[i] == 'e' || s[i] == 'E') {
		j := i + 1
		if s[j] == '-' || s[j] == '+' {
			j++
		}
		if digits := len(s[j:]) - len(strings.TrimLeft(s[j:], "0123456789")); digits > 0 {
			i = j + digits
		}
	}
	return s[:i], s[i:]
}

// groupedByThousands refuses the decimal comma, which would make 4,5 into 45.
func groupedByThousands(number string) bool {
	whole, fraction, _ := strings.Cut(number, ".")
	if strings.Contains(fraction, ",") {
		return false
	}
	groups := strings.Split(whole, ",")
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return false
		}
	}
	return len(groups) == 1 || len(strings.TrimLeft(groups[0], "+-")) > 0
}

// In gives the value in a unit; a value without unit is already in it. See Between.
func (v Value) In(to Unit, b Bushel) (float64, error) {
	if !v.HasUnit {
		return v.Number, nil
	}
	c, err := Between(v.Unit, to, b)
	if err != nil {
		return 0, err
	}
	return c.Of(v.Number), nil
}
