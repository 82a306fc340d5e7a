package timing

import (
	"slices"

	"culm/agronomy/ammonia"
	"culm/agronomy/calendar"
	"culm/agronomy/fertilizer"
	"culm/agronomy/ground"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/agronomy/working"
	"culm/season"
)

// Field is what of a field matters to its days.
type Field struct {
	Site ground.Site
	// Visits are the walks through it: what was seen of snow and frost stands over what is reckoned.
	Visits []*season.Visit
	Soil   ammonia.Soil
	// Herbicide says that one is sprayed along with a liquid put down by flat fans; Tillered that the crop is past
	// the end of tillering.
	Herbicide, Tillered bool
}

// Table is a field's days.
type Table struct {
	Days []Day
	// Assumed says in words what was assumed about the ground.
	Assumed []string

	outlook *Outlook
	losses  *ammonia.Losses
	field   Field
}

// Day is a coming day as far as it is the same for all products.
type Day struct {
	Day calendar.Day
	// Forecast is false beyond the forecast's end: Weather is then what simulated weather is on average.
	Forecast bool
	Weather  season.ForecastDay
	Ground   weather.Ground
	// WashIn is the chance of SavingRain on one day of WithinDays, this day the first; HasWashIn is false where
	// nothing tells it.
	WashIn    unit.Fraction
	HasWashIn bool

	flags  []ground.Flag
	liquid []ground.Flag // those with the herbicide along
}

// SaltOut is the risk that a liquid drops crystals in tank and boom, beside the risks of package ground.
const SaltOut ground.Risk = "salt-out"

// Over makes the table of a field. It fails where a soil figure is impossible.
func (o *Outlook) Over(f Field) (*Table, error) {
	t := &Table{outlook: o, field: f}
	var err error
	if t.losses, err = ammonia.Reckon(o.courses, max(len(o.days), 1), &f.Soil); err != nil {
		return nil, err
	}
	ahead := o.ground(f)
	for i, sky := range o.days {
		d := Day{Day: sky.Day, Forecast: i < o.forecast, Weather: sky, Ground: ahead.Ground(sky.Day)}
		if o.washIn != nil {
			d.WashIn, d.HasWashIn = o.washIn[i].Within, true
		}
		d.ask(ahead.Prospect(sky), f)
		t.Days = append(t.Days, d)
	}
	t.Assumed = ahead.Ground(o.first).Assumed
	return t, nil
}

// warmUp is how many days of the record the ground is reckoned from, with some to spare: see ground.Run.
const warmUp = 130

// ground reckons the ground of the table's days. Beyond the forecast it goes by the average of the courses, with
// the share of wet ones as the chance of rain and an error of temperature that grows with the days.
func (o *Outlook) ground(f Field) weather.Outlook {
	ahead := weather.Outlook{Record: since(o.sky.Record, o.first.Add(-warmUp)), Visits: f.Visits, Site: f.Site}
	if o.climate != nil {
		ahead.Usual = o.climate.SpreadOn(o.first)
	}
	switch {
	case o.sky.Forecast != nil:
		said := *o.sky.Forecast
		said.Days = slices.Concat(said.Days, o.days[o.forecast:])
		ahead.Forecast = &said
	case len(o.days) > 0:
		ahead.Forecast = &season.Forecast{Days: o.days}
	}
	return ahead.Ready()
}

// leachingDays is over how many days drainage below the roots is counted: as far as forecasts reach.
const leachingDays = 10

// ask asks what speaks against the day.
func (d *Day) ask(p ground.Prospect, f Field) {
	p.Coming = p.Coming[:min(leachingDays, len(p.Coming))]
	p.Tillered = f.Tillered
	d.flags = d.soften(ground.Flags(p))
	d.liquid = d.flags
	if f.Herbicide {
		p.Herbicide = true
		d.liquid = d.soften(ground.Flags(p))
	}
}

// soften makes a stop of the ground on a day that no forecast reaches a caution: what is usual keeps nobody off.
func (d *Day) soften(flags []ground.Flag) []ground.Flag {
	if d.Forecast {
		return flags
	}
	for i := range flags {
		if flags[i].Level == ground.Stop {
			flags[i].Level = ground.Caution
			flags[i].Reason = "by then, as weather usually is: " + flags[i].Reason
		}
	}
	return flags
}

// Stop says why nothing may be spread; it is empty when the day is open. Only days of the forecast are stopped.
func (d *Day) Stop() string {
	if d.Forecast && d.Ground.Stops() {
		return d.Ground.Reason
	}
	return ""
}

// Has says that a risk speaks against the day for a way of placing.
func (d *Day) Has(risk ground.Risk, way placement.Way) bool {
	return slices.ContainsFunc(d.flags, func(f ground.Flag) bool { return f.Risk == risk && f.Concerns(way) })
}

// Flags lists what speaks against the day for a product placed one way, the weightiest first.
func (t *Table) Flags(d *Day, p *fertilizer.Product, way placement.Way) []ground.Flag {
	all := d.flags
	if p.Form == fertilizer.Liquid && way == placement.FlatFan {
		all = d.liquid
	}
	var flags []ground.Flag
	for _, f := range all {
		if f.Concerns(way) {
			flags = append(flags, f)
		}
	}
	if p.Form == fertilizer.Liquid && p.SaltOut.Known() && d.Weather.Has&season.HasTemperature != 0 && d.Weather.Low < p.SaltOut.Value {
		flags = append(flags, ground.Flag{
			Risk: SaltOut, Level: ground.Caution, Reason: "so cold a night that " + p.Name + " drops crystals in tank and boom",
			Amount: working.Of(d.Weather.Low), Source: p.SaltOut.Source, Status: p.SaltOut.Status,
		})
	}
	return flags
}

// Loss is what a product spread on a day would lose.
type Loss struct {
	// Result is over all courses of weather. Its Rain is that of the forecast as it stands, where that carries urea in.
	ammonia.Result
	said   ammonia.Result // by the forecast as it stands
	bySaid bool           // that decides the words
}

// Why says in a few words what decides the loss: on days of the forecast by what it says, beyond by the courses.
func (l Loss) Why(s unit.System) string {
	if l.bySaid {
		return l.said.Why(s)
	}
	return l.Result.Why(s)
}

// Loss reckons the loss of a product on a day of the table, or on its first day where the table is empty. It fails
// for any other day.
func (t *Table) Loss(day calendar.Day, p *fertilizer.Product) (Loss, error) {
	r, err := t.losses.On(day, p, false)
	if err != nil {
		return Loss{}, err
	}
	l := Loss{Result: r, bySaid: day.Sub(t.outlook.first) < t.outlook.forecast || len(t.outlook.courses) == 1}
	if l.said, err = t.outlook.plain.Expect(day, p, false, &t.field.Soil); err != nil {
		return Loss{}, err
	}
	l.Rain = l.said.Rain
	return l, nil
}

// Today is the first day of the table.
func (t *Table) Today() calendar.Day { return t.outlook.first }
