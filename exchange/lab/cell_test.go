package lab

import (
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A number reads the same however a laboratory groups and points it, once its decimal sign is known.
func TestNumbersReadTheSameHoweverWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.IntRange(0, 9_999_999).Draw(t, "whole")
		decimals := rapid.StringMatching(`[0-9]{1,4}`).Draw(t, "decimals")
		want, _ := strconv.ParseFloat(strconv.Itoa(whole)+"."+decimals, 64)
		thousands := rapid.SampledFrom([]string{"", ",", " ", "'", "’"}).Draw(t, "thousands")
		point := group(whole, thousands) + "." + decimals
		if got, ok := readNumber(point, "."); !ok || got != want {
			t.Fatalf("%q: %v, %v, want %v", point, got, ok, want)
		}
		comma := group(whole, strings.Replace(thousands, ",", ".", 1)) + "," + decimals
		if got, ok := readNumber(comma, ","); !ok || got != want {
			t.Fatalf("%q: %v, %v, want %v", comma, got, ok, want)
		}
		// Without the sign it is read right or not at all.
		if got := readResult(point, "", nil, nil); got.outcome == isNumber && got.value != want {
			t.Fatalf("%q without a sign: %v, want %v", point, got.value, want)
		}
	})
}

func group(n int, sign string) string {
	text := strconv.Itoa(n)
	for i := len(text) - 3; i > 0 && sign != ""; i -= 3 {
		text = text[:i] + sign + text[i:]
	}
	return text
}

func TestTheDecimalSignIsFoundOut(t *testing.T) {
	for _, row := range []struct {
		name   string
		texts  []string
		points bool // the form of the file speaks for points
		want   string
	}{
		{"whole numbers need none", []string{"12", "150"}, false, "."},
		{"points", []string{"12.5", "1,234"}, false, "."},
		{"commas", []string{"12,5", "1.234"}, false, ","},
		{"a comma that may be either", []string{"1,234"}, false, ""},
		{"a point that may be either", []string{"1.234"}, false, ""},
		{"a point in a file whose columns commas part", []string{"1.234"}, true, "."},
		{"a comma that may be either, even there", []string{"1,234"}, true, ""},
		{"both, against each other", []string{"12.5", "12,5"}, false, ""},
		{"one comma among points", []string{"12.5", "6.1", "2,5"}, true, "."},
		{"one point among commas", []string{"12,5", "6,1", "2.5"}, false, ","},
		{"limits tell too", []string{"<0,5"}, false, ","},
		{"words tell nothing", []string{"ND", ""}, false, "."},
	} {
		if got, _ := findDecimal(row.texts, row.points); got != row.want {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
}

func TestLayers(t *testing.T) {
	for text, want := range map[string]string{
		"0-6 in": "0 0.1524", "0 to 24\"": "0 0.6096", "0–15cm": "0 0.15", "6 in - 24 in": "0.1524 0.6096", "0-7.5 cm": "0 0.075", "0,5-1 cm": "0.005 0.01",
	} {
		l, fault := readLayer(text, "")
		if got := strconv.FormatFloat(float64(l.top), 'g', -1, 64) + " " + strconv.FormatFloat(float64(l.bottom), 'g', -1, 64); fault != "" || got != want {
			t.Errorf("%s: %s %s, want %s", text, got, fault, want)
		}
	}
	for _, text := range []string{"", "6", "0-6", "6-0 in", "0-500 in", "-3-6 in", "0-6 ft", "0 in-15 cm", "0--6 in"} {
		if l, fault := readLayer(text, ""); fault == "" {
			t.Errorf("%q: %v, want a fault", text, l)
		}
	}
}
