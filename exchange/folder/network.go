package folder

import (
	"bytes"

	"culm/exchange/ghcn"
	"culm/season"
)

// readLog reads weather/<station>.csv, which is a table of ours or a record of the climatology network: its
// first line tells which.
func readLog(data []byte, station string, k *known, r *report) []made {
	if ghcn.IsRecord(data) {
		return readNetworkLog(data, station, k, r)
	}
	return weatherChapter().read(data, station, k, r)
}

// readNetworkLog reads weather/<station>.dly, or .csv, as the climatology network publishes it.
func readNetworkLog(data []byte, station string, k *known, r *report) []made {
	o := ghcn.Options{File: r.file}
	if s := k.stations[station]; s != nil {
		o.MorningReader = s.MorningReader
	}
	record, problems, err := ghcn.Read(bytes.NewReader(data), o)
	for _, p := range problems {
		r.add(p)
	}
	if err != nil {
		r.wrong(0, "", "the weather cannot be read: "+err.Error(), "", "one station's daily record")
		return nil
	}
	var entries []made
	for _, month := range record.Months(station) {
		e, err := k.habits.entry(month.Weather, stamp{}, season.Where{File: r.file, Line: month.Line})
		if err != nil {
			r.wrong(month.Line, "", "the month cannot be kept: "+err.Error(), "", "")
			continue
		}
		entries = append(entries, made{entry: e})
	}
	return entries
}
