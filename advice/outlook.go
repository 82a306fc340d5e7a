package advice

import (
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/timing"
	"culm/season"
)

// Outlook is the weather that fields on the same station have in store, by the present forecast and by the one
// before. It is the larger part of the work of a plan, so whoever holds many fields makes it once for each Shared.
// It does not change once made.
type Outlook struct {
	now *timing.Outlook
	// before is that of the earlier forecast as of its day; nil where there is none that held then, or no present one.
	before *timing.Outlook
}

// Shared names what an Outlook is made from: field seasons out of one season.Season for which it is equal share
// their Outlook.
type Shared struct {
	today             calendar.Day
	station           string
	forecast, earlier *season.Forecast
	record            *season.WeatherDay
	days              int
	field             string // of a field whose weather is a blend of its own
}

// SharedBy gives what the outlook of a field season is made from.
func SharedBy(fs season.FieldSeason) Shared {
	s := Shared{today: fs.Today, station: fs.Field.Station, forecast: fs.Forecast, earlier: fs.Earlier, days: len(fs.Weather)}
	if len(fs.Weather) > 0 {
		s.record = &fs.Weather[0]
	}
	if len(fs.Further) > 0 || fs.Station == nil {
		s.field = fs.Field.ID
	}
	return s
}

// OutlookOf makes the outlook of a field season, for it and for all those that share it.
func OutlookOf(fs season.FieldSeason) *Outlook {
	if blended, ok := blend(fs); ok {
		fs.Weather = blended.Days
	}
	o := &Outlook{now: look(fs)}
	if then, ok := asBefore(fs); ok {
		o.before = look(then)
	}
	return o
}

// look draws from the same chances for a station whatever the day, so that yesterday's advice and today's differ by
// the weather and not by luck.
func look(fs season.FieldSeason) *timing.Outlook {
	return timing.Look(timing.Sky{
		Today: fs.Today, Record: fs.Weather, Forecast: holding(fs), At: placeOf(fs), Seed: seed("weather", fs.Field.Station),
	})
}

// asBefore is the field season as its weather stood when the earlier forecast was issued. Crop, readings and prices
// stay today's: what differs is the weather's doing. It returns false where there is no such forecast or no present
// one.
func asBefore(fs season.FieldSeason) (season.FieldSeason, bool) {
	if fs.Earlier == nil || holding(fs) == nil {
		return fs, false
	}
	fs.Today, fs.Forecast, fs.Earlier = issuedOn(fs.Earlier), fs.Earlier, nil
	for n := len(fs.Weather); n > 0 && !fs.Weather[n-1].Day.Before(fs.Today); n-- {
		fs.Weather = fs.Weather[:n-1]
	}
	return fs, holding(fs) != nil
}

// holding is the forecast that still holds; nil where none does: it must reach today and not be too old.
func holding(fs season.FieldSeason) *season.Forecast {
	f := fs.Forecast
	switch {
	case f == nil, len(f.Days) == 0, f.Days[len(f.Days)-1].Day.Before(fs.Today), fs.Today.Sub(issuedOn(f)) > forecastShelfLife:
		return nil
	}
	return f
}

// issuedOn is the day of issue. The moment is kept in UTC.
func issuedOn(f *season.Forecast) calendar.Day { return calendar.FromTime(f.Issued.In(time.UTC)) }

// placeOf is where a field lies, as near as is known: its station, or else a corner of its outline.
func placeOf(fs season.FieldSeason) *season.Position {
	switch {
	case fs.Station != nil:
		return &fs.Station.At
	case fs.Boundary != nil && len(fs.Boundary.Polygons) > 0:
		return &fs.Boundary.Polygons[0][0][0]
	}
	return nil
}
