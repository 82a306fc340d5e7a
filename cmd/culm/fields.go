package main

import (
	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// fieldsAsked is how a command is told which fields of which season folder, on which day.
type fieldsAsked struct {
	Folder string   `arg:"" help:"Season folder, or a zip of one."`
	Field  []string `help:"Only these fields, by id." placeholder:"ID"`
	Date   string   `help:"The day it is, as 2027-02-10; today when not given."`
	Units  string   `enum:"us,metric,season" default:"season" help:"Units to read: us, metric, or as the season says."`
}

// openSeason is a season folder read and checked, with the fields asked for and what advises on them.
type openSeason struct {
	today    calendar.Day
	season   *season.Season
	fields   []season.FieldSeason
	advisor  *advice.Advisor
	units    unit.System
	problems []season.Problem // doubts
}

// open reads the folder. A folder with errors, and a field that is not in it, are bad input.
func (a *fieldsAsked) open(d *door) (openSeason, error) {
	today, err := d.today(a.Date)
	if err != nil {
		return openSeason{}, exitError{exitUsage, err}
	}
	content, problems, err := readContent(d, a.Folder, today)
	if err != nil {
		return openSeason{}, err
	}
	o := openSeason{today: today, season: season.Assemble(content.Entries), problems: problems}
	o.units = unitsOf(a.Units, o.season)
	if o.fields, err = choose(o.season, a.Field, today); err != nil {
		return openSeason{}, err
	}
	o.advisor, err = advice.NewAdvisor(content.Books...)
	return o, err
}

// choose picks the fields asked for, all of them when none is named.
func choose(s *season.Season, ids []string, today calendar.Day) ([]season.FieldSeason, error) {
	if len(ids) == 0 {
		for _, f := range s.Fields {
			ids = append(ids, f.ID)
		}
	}
	chosen := make([]season.FieldSeason, 0, len(ids))
	for _, id := range ids {
		fs, ok := s.Of(id, today)
		if !ok {
			return nil, failWith(exitBadInput, "the season has no field %q", id)
		}
		chosen = append(chosen, fs)
	}
	return chosen, nil
}
