package main

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"time"

	"culm/exchange/folder"
	"culm/exchange/online"
	"culm/season"
)

// weatherCommand groups what is done with weather alone.
type weatherCommand struct {
	Fetch weatherFetchCommand `cmd:"" help:"Fetch the US National Weather Service's forecast for every station of a season folder."`
	Fit   weatherFitCommand   `cmd:"" help:"Fit a station's daily record: how often it rains, how much, how warm it is, month by month."`
}

type weatherFetchCommand struct {
	Folder  string   `arg:"" help:"Season folder. The forecasts are written to its forecast/."`
	Contact string   `env:"CULM_CONTACT" help:"Your mail address; the service wants to know who asks."`
	Station []string `help:"Only these stations."`
	BaseURL string   `name:"base-url" default:"https://api.weather.gov" help:"Where the service answers."`
	Cache   string   `help:"Folder of kept replies; one of yours when not given."`
	Offline bool     `help:"Use kept replies only."`
	JSON    bool     `name:"json" help:"Print what was fetched as JSON."`
}

// fetchReport is the JSON of culm weather fetch.
type fetchReport struct {
	Version  string          `json:"version"`
	Stations []fetchedReport `json:"stations"`
}

type fetchedReport struct {
	Station string     `json:"station"`
	File    string     `json:"file,omitempty"`
	Issued  *time.Time `json:"issued,omitempty"`
	By      string     `json:"by,omitempty"`
	// Zone is the time zone the service gives for the place.
	Zone  string `json:"zone,omitempty"`
	Note  string `json:"note,omitempty"`
	Error string `json:"error,omitempty"`
}

// Run fetches station by station. One that fails does not keep the others from being fetched; the exit code
// is then 1.
func (c *weatherFetchCommand) Run(ctx context.Context, d *door) error {
	stations, err := c.stations(d)
	if err != nil {
		return err
	}
	cache := c.Cache
	if cache == "" {
		own, err := os.UserCacheDir()
		if err != nil {
			return failWith(exitUsage, "no folder for kept replies is known here (%w); give one with --cache", err)
		}
		cache = filepath.Join(own, "culm", "replies")
	}
	fetcher, err := online.New(online.Options{Agent: "culm/" + version, Contact: c.Contact, Cache: cache, Offline: c.Offline, Now: d.now})
	if err != nil {
		return failWith(exitUsage, "%w; give it with --contact", err)
	}
	service := online.NWS{Base: c.BaseURL, Get: fetcher, Now: d.now}
	report := fetchReport{Version: "culm.weather-fetch/1"}
	failed := 0
	for _, s := range stations {
		r := c.fetch(ctx, service, s)
		if r.Error != "" {
			failed++
		}
		report.Stations = append(report.Stations, r)
		if !c.JSON {
			fmt.Fprintln(d.out, r.spoken(s))
		}
	}
	if c.JSON {
		enc := json.NewEncoder(d.out)
		enc.SetIndent("", "  ")
		if err := enc.Encode(report); err != nil {
			return err
		}
	}
	if failed > 0 {
		return failWith(exitFailed, "no forecast for %d of %s", failed, plural(len(stations), "station"))
	}
	return nil
}

// stations are those that were asked for, or else all, by id.
func (c *weatherFetchCommand) stations(d *door) ([]*season.Station, error) {
	content, problems := folder.Open(c.Folder)
	if info, err := os.Stat(c.Folder); err != nil || !info.IsDir() {
		return nil, failWith(exitBadInput, "%s is not a folder; a zip cannot take a forecast", c.Folder)
	}
	known := season.Assemble(content.Entries).Stations
	if len(known) == 0 {
		printProblems(d.err, problems)
		return nil, failWith(exitBadInput, "%s names no weather station", c.Folder)
	}
	ids := slices.Sorted(maps.Keys(known))
	if len(c.Station) > 0 {
		ids = c.Station
	}
	var stations []*season.Station
	for _, id := range ids {
		if known[id] == nil {
			return nil, failWith(exitUsage, "there is no station %q; the folder has %v", id, slices.Sorted(maps.Keys(known)))
		}
		stations = append(stations, known[id])
	}
	return stations, nil
}

func (c *weatherFetchCommand) fetch(ctx context.Context, service online.NWS, s *season.Station) fetchedReport {
	r := fetchedReport{Station: s.ID}
	grid, err := service.Forecast(ctx, s.At)
	if err != nil {
		r.Error = err.Error()
		return r
	}
	issued := grid.Issued.UTC()
	r.Issued, r.By, r.Zone, r.Note = &issued, grid.By, grid.Zone, grid.Note
	if r.File, err = folder.AddForecast(c.Folder, s.ID, grid.Body); err != nil {
		r.Error = err.Error()
	}
	return r
}

// spoken is the line for a person.
func (r fetchedReport) spoken(s *season.Station) string {
	if r.Error != "" {
		return r.Station + ": " + r.Error
	}
	line := fmt.Sprintf("%s: issued %s by %s", r.Station, r.Issued.Format("2006-01-02 15:04 UTC"), r.By)
	if r.Note != "" {
		line += "; " + r.Note
	}
	if s.Zone == "" && r.Zone != "" {
		line += "; its clocks keep " + r.Zone + ", which season.yaml could say as zone"
	}
	return line
}
