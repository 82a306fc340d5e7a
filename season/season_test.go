package season_test

import (
	"reflect"
	"strconv"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"

	"pgregory.net/rapid"
)

func at(day int) time.Time { return time.Date(2027, 2, day, 8, 0, 0, 0, time.UTC) }

func field(id, name string, recorded int) season.Entry {
	return season.Entry{ID: name, Recorded: at(recorded), Body: &season.Field{ID: id, Name: name, Crop: season.WheatGrain}}
}

func TestALaterEntryOnTheSameSubjectStands(t *testing.T) {
	s := season.Assemble([]season.Entry{field("f1", "new name", 5), field("f1", "old name", 1)})
	if len(s.Fields) != 1 || s.Fields[0].Name != "new name" {
		t.Errorf("fields: %+v, want the one recorded last", s.Fields)
	}
}

func TestACorrectionSupersedesWhateverItsClockSays(t *testing.T) {
	wrong, right := field("f1", "wrong", 9), field("f1", "right", 3) // a phone whose clock was slow
	right.Supersedes = wrong.ID
	s := season.Assemble([]season.Entry{wrong, right})
	if len(s.Fields) != 1 || s.Fields[0].Name != "right" {
		t.Errorf("fields: %+v, want the correction", s.Fields)
	}
}

func TestAWithdrawnEntryLeavesNothing(t *testing.T) {
	wrong, gone := field("f1", "typed by mistake", 1), field("f1", "gone", 2)
	gone.Supersedes, gone.Withdrawn = wrong.ID, true
	if s := season.Assemble([]season.Entry{wrong, gone}); len(s.Fields) != 0 {
		t.Errorf("fields: %+v, want none", s.Fields)
	}
}

// A phone without signal may send its entries late, twice and in any order: what stands is the same.
func TestOrderAndRepeatsChangeNothing(t *testing.T) {
	entries := []season.Entry{
		field("a", "a1", 1), field("a", "a2", 2), field("b", "b1", 1), field("b", "b2", 1), field("c", "c1", 4),
	}
	want := season.Assemble(entries).Fields
	rapid.Check(t, func(t *rapid.T) {
		mixed := rapid.Permutation(entries).Draw(t, "order")
		mixed = append(mixed, rapid.SampledFrom(entries).Draw(t, "sent twice"))
		got := season.Assemble(mixed).Fields
		if len(got) != len(want) {
			t.Fatalf("%d fields, want %d", len(got), len(want))
		}
		for i := range got {
			if !reflect.DeepEqual(got[i], want[i]) {
				t.Fatalf("field %d is %v, want %v", i, got[i], want[i])
			}
		}
	})
}

func TestAdviceForAPastDayKnowsNothingLater(t *testing.T) {
	reading := func(day int) season.Entry {
		d := calendar.Date(2027, 2, day)
		return season.Entry{ID: d.String(), Recorded: at(day), Body: &season.Readings{Field: "a", Strip: "A", Day: d}}
	}
	s := season.Assemble([]season.Entry{field("a", "a", 1), reading(3), reading(8)})
	fs, ok := s.Of("a", calendar.Date(2027, 2, 5))
	if !ok || len(fs.Readings) != 1 || fs.Readings[0].Day.String() != "2027-02-03" {
		t.Errorf("on 5 February the field has readings %+v, want that of 3 February only", fs.Readings)
	}
	if _, ok := s.Of("nowhere", calendar.Date(2027, 2, 5)); ok {
		t.Error("found a field that is not in the season")
	}
}

// A forecast issued later and a price set later are not known on a past day either.
func TestAdviceForAPastDayKnowsNoLaterForecastOrPrice(t *testing.T) {
	s := season.Assemble([]season.Entry{
		{ID: "f", Recorded: at(1), Body: &season.Field{ID: "a", Station: "s"}},
		{ID: "c", Recorded: at(9), Body: &season.Forecast{Station: "s", Issued: at(9)}},
		{ID: "p", Recorded: at(9), Body: &season.Price{Item: "wheat", Day: calendar.Date(2027, 2, 9)}},
	})
	if fs, _ := s.Of("a", calendar.Date(2027, 2, 5)); fs.Forecast != nil || len(fs.Prices) != 0 {
		t.Errorf("on 5 February the field knows forecast %v and prices %v of the 9th", fs.Forecast, fs.Prices)
	}
	if fs, _ := s.Of("a", calendar.Date(2027, 2, 9)); fs.Forecast == nil || len(fs.Prices) != 1 {
		t.Errorf("on the day itself: forecast %v, prices %v", fs.Forecast, fs.Prices)
	}
}

// A field advised again for a past day meets the forecast and the price that held then, not the latest.
func TestAdviceForAPastDayKnowsTheForecastAndPriceOfThen(t *testing.T) {
	price := func(day int, dollars unit.PricePerMass) season.Entry {
		return season.Entry{ID: "p" + strconv.Itoa(day), Recorded: at(day), Body: &season.Price{Item: "wheat", Price: dollars, Day: calendar.Date(2027, 2, day)}}
	}
	issue := func(day int) season.Entry {
		return season.Entry{ID: "c" + strconv.Itoa(day), Recorded: at(day), Body: &season.Forecast{Station: "s", Issued: at(day)}}
	}
	s := season.Assemble([]season.Entry{
		{ID: "f", Recorded: at(1), Body: &season.Field{ID: "a", Station: "s"}},
		issue(3), issue(5), issue(9), price(2, 0.20), price(8, 0.25),
	})
	for _, row := range []struct {
		today           int
		issued, earlier int
		price           unit.PricePerMass
	}{
		{4, 5, 3, 0.20}, // an evening of the 4th in the west is the 5th in UTC already
		{6, 5, 3, 0.20},
		{9, 9, 5, 0.25},
	} {
		fs, _ := s.Of("a", calendar.Date(2027, 2, row.today))
		if fs.Forecast == nil || !fs.Forecast.Issued.Equal(at(row.issued)) || fs.Earlier == nil || !fs.Earlier.Issued.Equal(at(row.earlier)) {
			t.Errorf("on the %dth: forecast %v, earlier %v; expected those of the %dth and %dth", row.today, fs.Forecast, fs.Earlier, row.issued, row.earlier)
		}
		if len(fs.Prices) != 1 || fs.Prices[0].Price != row.price {
			t.Errorf("on the %dth: prices %v, expected %v", row.today, fs.Prices, row.price)
		}
	}
}
