package season

import (
	"strconv"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Station is a place where weather is measured.
type Station struct {
	ID   string   `json:"id"`
	Name string   `json:"name"`
	At   Position `json:"at"`
	// Zone is the time zone the field's clocks keep, as "America/Chicago"; empty when nobody said, and days
	// then begin by the sun over the station's meridian.
	Zone string `json:"zone,omitempty"`
	// MorningReader says that gauge and thermometers are read and set in the morning, so that a file which
	// does not give the hour has yesterday's rain and high on the day of reading.
	MorningReader bool `json:"morningReader,omitempty"`
}

// Kind implements Body.
func (*Station) Kind() Kind { return KindStation }

// Subject implements Body.
func (s *Station) Subject() string { return s.ID }

// Weather is one month of a station's log.
type Weather struct {
	Station string       `json:"station"`
	Year    int          `json:"year"`
	Month   time.Month   `json:"month"`
	Days    []WeatherDay `json:"days"` // in order
}

// WeatherDay is the weather of one day. A part that was not measured is absent, which is not zero.
type WeatherDay struct {
	Day  calendar.Day     `json:"day"`
	Low  unit.Temperature `json:"low"`
	High unit.Temperature `json:"high"`
	Rain unit.Water       `json:"rain"` // rain and melted snow
	Snow unit.Water       `json:"snow"` // depth of snow lying
	// Has says which of the parts were measured.
	Has Parts `json:"has"`
}

// Parts is a set of the parts of a day's weather.
type Parts uint8

// The parts.
const (
	HasTemperature Parts = 1 << iota
	HasRain
	HasSnow
	HasWind     // forecasts only
	HasHumidity // forecasts only
)

// Kind implements Body.
func (*Weather) Kind() Kind { return KindWeather }

// Subject implements Body.
func (w *Weather) Subject() string {
	return w.Station + "/" + strconv.Itoa(w.Year*100+int(w.Month))
}

// Forecast is what was expected for a station's coming days at the time it was issued.
type Forecast struct {
	Station string        `json:"station"`
	Issued  time.Time     `json:"issued"`
	By      string        `json:"by,omitempty"`
	Days    []ForecastDay `json:"days"` // in order, without gaps
	// Hours are the hours that the forecast gave, which may begin before its first whole day and end after its
	// last; empty where it came by the day.
	Hours Hours `json:"hours,omitempty"`
}

// ForecastDay is one day of a forecast.
type ForecastDay struct {
	WeatherDay
	RainChance unit.Fraction `json:"rainChance,omitempty"`
	Wind       unit.Speed    `json:"wind,omitempty"` // mean of daylight hours
	Humidity   unit.Fraction `json:"humidity,omitempty"`
}

// Kind implements Body.
func (*Forecast) Kind() Kind { return KindForecast }

// Subject implements Body: each issue of a forecast is a thing of its own, and the latest is used.
func (f *Forecast) Subject() string { return f.Station + "/" + f.Issued.UTC().Format(time.RFC3339) }

// Price is what something costs or brings: grain, gain of cattle, a fertilizer product, a pass.
type Price struct {
	// Item is "wheat", "canola", "gain", a product's key such as "urea", or a pass such as "pass/broadcast".
	Item string `json:"item"`
	// Price is expected; Low and High bound what the advisor holds possible and equal Price when not given.
	// Grain, gain and products are per kg sold, passes per ha.
	Price unit.PricePerMass `json:"price,omitempty"`
	Low   unit.PricePerMass `json:"low,omitempty"`
	High  unit.PricePerMass `json:"high,omitempty"`
	// Pass is set instead of Price for a pass.
	Pass unit.MoneyPerArea `json:"pass,omitempty"`
	Day  calendar.Day      `json:"day"`
	By   string            `json:"by,omitempty"`
	// Origin is filled by Assemble.
	Origin working.Origin `json:"origin,omitzero"`
}

// Kind implements Body.
func (*Price) Kind() Kind { return KindPrice }

// Subject implements Body: a price of another day is another price.
func (p *Price) Subject() string { return p.Item + "/" + p.Day.String() }

// Trial is a set of plots with stepped nitrogen, harvested: the ground for a response curve.
type Trial struct {
	Name  string `json:"name"`
	Crop  Crop   `json:"crop"`
	Year  int    `json:"year"`
	By    string `json:"by,omitempty"`
	Plots []Plot `json:"plots"`
}

// Plot is one plot of a trial.
type Plot struct {
	Rate  unit.Rate  `json:"rate"` // total N applied
	Yield unit.Yield `json:"yield"`
}

// Kind implements Body.
func (*Trial) Kind() Kind { return KindTrial }

// Subject implements Body.
func (t *Trial) Subject() string { return t.Name + "/" + strconv.Itoa(t.Year) }
