package server

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
	"culm/server/desk"
	"culm/server/picture"

	"github.com/a-h/templ"
)

// overviewView is what the overview shows: every field's sentence in the order of what waiting would cost.
type overviewView struct {
	shell
	Filter  filter
	Tally   []tally
	All     int
	Most    []row // what matters most today, from all fields
	Rows    []row // those of this page of the list
	Matched int
	Pages   int
	Map     picture.Map
	HasMap  bool
	Sky     []string // how old the forecasts are
	Spoilt  string   // from how many fields the newest forecast took the day; empty when from none
	Choices choiceLists
}

// row is a field in the list.
type row struct {
	Rank int
	Plan *advice.Plan
}

// filter is what of the season a reader asked to see.
type filter struct {
	Words    string
	Action   advice.Action
	Producer string
	Crop     season.Crop
	Page     int // from 1
}

// choiceLists are what the filters offer.
type choiceLists struct {
	Producers []season.Producer
	Crops     []season.Crop
}

// rowsOnPage is how many fields stand on one page of the list.
const rowsOnPage = 100

// mostToday is how many fields are set apart.
const mostToday = 3

func (s *Server) overview(v *visit) error {
	sheet, err := v.sheet()
	if err != nil {
		return err
	}
	plans := sheet.Plans(v.reader.Units)
	view := overviewView{
		shell: v.shell(sheet, sheet.Season.Settings.Name), Filter: filterOf(v.r.URL.Query()),
		All: len(plans), Tally: tallyOf(plans), Sky: skyAge(sheet), Spoilt: spoilt(plans), Choices: choicesOf(sheet.Season),
	}
	marks := map[string]picture.Mark{}
	var matched []row
	for i, p := range plans {
		r := row{Rank: i + 1, Plan: p}
		apart := view.setsApart() && len(view.Most) < mostToday && (desk.AtRisk(p.Decision) > 0 || p.Changed != nil && p.Changed.Lost)
		if apart {
			view.Most = append(view.Most, r)
		}
		if view.Filter.admits(p) {
			if !apart {
				matched = append(matched, r)
			}
			marks[p.Field.ID] = picture.Mark{
				Action: p.Decision.Action, Rank: r.Rank,
				Words: fmt.Sprintf("%d, %s: %s", r.Rank, p.Field.Name, strings.ToLower(actionWord(p.Decision.Action))),
			}
		}
	}
	view.Matched = len(matched) + len(view.Most)
	view.Pages = max(1, (len(matched)+rowsOnPage-1)/rowsOnPage)
	view.Filter.Page = min(view.Filter.Page, view.Pages)
	view.Rows = matched[(view.Filter.Page-1)*rowsOnPage : min(view.Filter.Page*rowsOnPage, len(matched))]
	district := s.districtOf(sheet)
	view.Map, view.HasMap = district.With(marks, v.reader.Units), !district.Empty()
	return v.show(http.StatusOK, overviewPage(view))
}

func filterOf(q url.Values) filter {
	f := filter{
		Words: strings.TrimSpace(q.Get("q")), Action: advice.Action(q.Get("action")),
		Producer: q.Get("producer"), Crop: season.Crop(q.Get("crop")),
	}
	if !slices.Contains(actions(), f.Action) {
		f.Action = ""
	}
	f.Page, _ = strconv.Atoi(q.Get("page")) // what is not a number is the first page
	f.Page = max(1, f.Page)
	return f
}

func (f filter) active() bool {
	return f.Words != "" || f.Action != "" || f.Producer != "" || f.Crop != ""
}

func (f filter) admits(p *advice.Plan) bool {
	switch {
	case f.Action != "" && p.Decision.Action != f.Action,
		f.Producer != "" && p.Field.Producer != f.Producer,
		f.Crop != "" && p.Field.Crop != f.Crop:
		return false
	}
	text := folded(p.Field.Name + " " + p.Producer.Name)
	for _, word := range strings.Fields(folded(f.Words)) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}

// folded makes a text comparable: in lower case, with any space as a space.
func folded(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return ' '
		}
		return unicode.ToLower(r)
	}, s)
}

// address is that of a page of the list under the same filter.
func (f filter) address(page int) templ.SafeURL {
	q := url.Values{}
	set := func(key, value string) {
		if value != "" {
			q.Set(key, value)
		}
	}
	set("q", f.Words)
	set("action", string(f.Action))
	set("producer", f.Producer)
	set("crop", string(f.Crop))
	if page > 1 {
		q.Set("page", strconv.Itoa(page))
	}
	if len(q) == 0 {
		return "/"
	}
	return templ.SafeURL("/?" + q.Encode())
}

// tally counts the fields with one action.
type tally struct {
	Action advice.Action
	Count  int
}

func tallyOf(plans []*advice.Plan) []tally {
	counts := map[advice.Action]int{}
	for _, p := range plans {
		counts[p.Decision.Action]++
	}
	var all []tally
	for _, a := range actions() {
		if counts[a] > 0 {
			all = append(all, tally{a, counts[a]})
		}
	}
	return all
}

// words says what a count means.
func (t tally) words() string {
	one := t.Count == 1
	pick := func(single, several string) string {
		if one {
			return single
		}
		return several
	}
	switch t.Action {
	case advice.Spread:
		return pick("wants nitrogen that pays", "want nitrogen that pays")
	case advice.Hold:
		return pick("can wait", "can wait")
	case advice.Leave:
		return pick("is best left", "are best left")
	default:
		return pick("lacks what a decision needs", "lack what a decision needs")
	}
}

// skyAge says of what day the forecasts are, one line for each day of issue, the oldest first.
func skyAge(sheet *desk.Sheet) []string {
	byDay := map[calendar.Day][]string{}
	var days []calendar.Day
	for _, f := range sheet.Forecasts() {
		issued := calendar.FromTime(f.Issued)
		if byDay[issued] == nil {
			days = append(days, issued)
		}
		name := f.Station
		if st := sheet.Season.Stations[f.Station]; st != nil {
			name = st.Name
		}
		byDay[issued] = append(byDay[issued], name)
	}
	if len(days) == 0 {
		return []string{"No forecast is in the notebook"}
	}
	var lines []string
	for _, d := range days {
		line := "Forecast " + age(sheet.Today.Sub(d))
		if len(days) > 1 {
			slices.Sort(byDay[d])
			line += " for " + list(byDay[d])
		}
		lines = append(lines, line)
	}
	return lines
}

func age(days int) string {
	switch {
	case days <= 0:
		return "of today"
	case days == 1:
		return "of yesterday"
	default:
		return strconv.Itoa(days) + " days old"
	}
}

func choicesOf(s *season.Season) choiceLists {
	c := choiceLists{Producers: s.Producers}
	for _, crop := range []season.Crop{season.WheatGrain, season.WheatGrazed, season.WheatGrazeOut, season.Canola} {
		if slices.ContainsFunc(s.Fields, func(f season.Field) bool { return f.Crop == crop }) {
			c.Crops = append(c.Crops, crop)
		}
	}
	return c
}

// risk writes what a day of waiting puts at risk; empty when that is less than a unit of money.
func (r row) risk(s unit.System) string {
	if m := desk.AtRisk(r.Plan.Decision); m >= 0.5 {
		return money(m, s) + " a day"
	}
	return ""
}

// missing names what is not known.
func (r row) missing() string {
	var what []string
	for _, m := range r.Plan.Missing {
		what = append(what, m.What)
	}
	return list(what)
}

// open gives an opener whose slips are told apart from those of other fields on the page.
func (r row) open() opener {
	o := openerOf(r.Plan, fieldPath(r.Plan.Field.ID, "working"))
	o.prefix = r.Plan.Field.ID + "-"
	return o
}

func fieldLink(field string) templ.SafeURL { return templ.SafeURL(fieldPath(field)) }

// withAction is the address of the list with one action only.
func (o overviewView) withAction(a advice.Action) templ.SafeURL {
	return filter{Action: a}.address(1)
}

// counted is the count of a part of the summary; the first says of how many. A number stays with its word.
func (o overviewView) counted(i int) string {
	n := number(o.Tally[i].Count)
	if i > 0 {
		return n + "\u00a0"
	}
	return n + " of " + strings.Replace(plural(o.All, "field"), " ", "\u00a0", 1) + " "
}

// joint stands between the parts of the summary.
func (o overviewView) joint(i int) string {
	switch {
	case i == len(o.Tally)-1:
		return "."
	case i == len(o.Tally)-2:
		return " and "
	default:
		return ", "
	}
}

// setsApart says that the first page of the whole list is shown, which begins with what matters most.
func (o overviewView) setsApart() bool { return !o.Filter.active() && o.Filter.Page == 1 }

// count says how much of the season the list shows.
func (o overviewView) count() string {
	switch {
	case len(o.Most) > 0:
		return plural(o.All-len(o.Most), "more field")
	case o.Matched == o.All:
		return plural(o.All, "field")
	case o.Matched == 0:
		return "No field fits. Take out a word or choose any."
	default:
		return fmt.Sprintf("%s of %s", number(o.Matched), plural(o.All, "field"))
	}
}

// spoilt says from how many fields the newest forecast took the day that was advised; empty when from none.
func spoilt(plans []*advice.Plan) string {
	n := 0
	for _, p := range plans {
		if p.Changed != nil && p.Changed.Lost {
			n++
		}
	}
	switch n {
	case 0:
		return ""
	case 1:
		return "The newest forecast has spoilt the day of 1 field; it stands first."
	default:
		return "The newest forecast has spoilt the day of " + number(n) + " fields; they stand first."
	}
}

// feedOf says whose days the feed holds.
func (o overviewView) feedOf() string {
	for _, p := range o.Choices.Producers {
		if p.ID == o.Filter.Producer {
			return p.Name
		}
	}
	return "all fields"
}
