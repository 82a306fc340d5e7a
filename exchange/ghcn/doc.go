// Package ghcn reads the daily records of weather stations as the Global Historical Climatology Network
// publishes them (cite.GHCNDaily): the .dly form with one line for each station, month and element, and the
// CSV form with one line for each station, day and element, by station or by year. It also reads the lines of
// the network's list of stations.
//
// Numbers are taken as the network gives them, and some are not taken:
//
//   - A value whose quality flag is set has failed one of the network's checks. It is rejected and counted.
//   - A trace of rain or snow is 0 mm, measured. "Missing, presumed zero" is missing.
//   - Rain of several days measured together (MDPR over DAPR days) tells neither the day it fell on nor how
//     hard it fell, and a day's rain is what carries urea in. It is left as a gap and reported with its total;
//     Record.Totals keeps it for sums over the whole span.
//   - A day whose low is above its high has neither, and a day with one of the two has none.
//   - The network's daily mean (TAVG) is not read: some of its sources end the day at midnight UTC.
//
// An observer who reads and sets the instruments in the morning writes down what fell, and how warm it got,
// mostly on the day before. Such a total and such a high are therefore dated a day earlier; the low of the
// night and the depth of snow stay. The CSV form gives the hour of reading; where it does not, and in the
// .dly form, which never does, Options.MorningReader says it. Noon is the limit; common practice, no source.
package ghcn
