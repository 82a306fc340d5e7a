package climate_test

// What the tables of docs/weather-simulation.md show, in words. Whoever writes the tables anew reads these again.
const (
	beliefWords = `The 60 days that are used were set before this was computed and left as they are; 120 would have done a shade better in most rows.
What helps is to lean at all, most of all in the first year. One thing was changed after seeing the tables below: at first wet
days leaned with the weight of 60 wet days instead of those that 60 days hold, which carried summer's amounts into winter.
Temperatures lean for 5 days only.

`
	comparisonWords = `What lies outside, and why:

- The longest dry spell of Augsburg's winters: a chain that remembers one day lets long spells end too soon.
- The memory of temperature in Augsburg's winters: when rain begins or ends, the simulated temperature steps from what is usual
  on dry days to what is usual on wet ones, and the measured one follows slowly.

What months differ by between years is not too small here by more than chance, as it often is with such a chain; fourteen and ten
years are few to tell. Not compared, because not simulated: wind, humidity, lying snow, hours.

`
	skillWords = `Read plainly: that it rained today says something about tomorrow, and next to nothing about a wash-in rain within three or seven
days. There the chain is climatology by another way and mostly no better. At Augsburg it even scores worse than counting for half an
inch, if not by more than chance, since it expects too much: the gamma law that fits its winter rains best, leaning or not, puts
more days above half an inch than ten winters had (December: 4 in a hundred wet days against 2 of 137). What it is for is that it needs no counting by date, answers for any amount and span, continues a forecast from
the state in which it ends, and carries temperature along. Skill comes from the forecast; how good that is by days ahead cannot be
checked with these data.

## The forecast's own error

As far as a forecast reaches, members are drawn about it. Temperature: mean error of the day's mean 2.5 °F on day 1 to 5.5 °F on
day 7, between high and low of one office's report (National Weather Service, Milwaukee/Sullivan, November 2011), never wider
than the climate. Chance of rain: as given. Rain or none without a chance: loses a tenth of its weight a day to the climate, from
memory. Amount: gamma about the forecast's, 58 % variation on day 1 to 100 % from day 7 on, from memory. The forecast's own
members, where there are any, are taken as they are.
`
)
