package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/rulebook"
	"culm/demo"
	"culm/notebook"
	"culm/season"
	"culm/server"
)

type serveCommand struct {
	Database string `default:"culm.sqlite" help:"The notebook." placeholder:"FILE"`
	Listen   string `default:"127.0.0.1:8427" help:"Address to listen on. Culm has no passwords yet: keep it to this machine." placeholder:"HOST:PORT"`
	Date     string `help:"The day it is, as 2027-02-10; today when not given."`
	// Rulebooks are not part of the notebook: guidance is not an observation.
	Rulebooks string `help:"Folder with rulebooks of your own, beside those that come with Culm." placeholder:"DIR"`
}

// Run serves the notebook until it is interrupted.
func (c *serveCommand) Run(ctx context.Context, d *door) error {
	if _, err := d.today(c.Date); err != nil {
		return exitError{exitUsage, err}
	}
	own, err := readRulebooks(d, c.Rulebooks)
	if err != nil {
		return err
	}
	book, err := notebook.Open(ctx, c.Database, notebook.Options{})
	if err != nil {
		return err
	}
	defer book.Close()
	return serve(ctx, d, book, c.Listen, own, func() calendar.Day {
		today, _ := d.today(c.Date) // was read above
		return today
	})
}

type demoCommand struct {
	Fields   int    `default:"28" help:"How many fields the district has; at least 26."`
	Seed     uint64 `default:"1" help:"Seed of the invented numbers."`
	Listen   string `default:"127.0.0.1:8427" help:"Address to listen on." placeholder:"HOST:PORT"`
	Database string `help:"Keep the notebook here; a new one in a temporary folder when not given." placeholder:"FILE"`
	Harvest  bool   `help:"Show the season after harvest, with what was spread and cut."`
}

// Run fills a new notebook with the invented district and serves it as of the scenario's day.
func (c *demoCommand) Run(ctx context.Context, d *door) error {
	path := c.Database
	if path == "" {
		dir, err := os.MkdirTemp("", "culm-demo-")
		if err != nil {
			return err
		}
		defer os.RemoveAll(dir)
		path = filepath.Join(dir, "demo.sqlite")
	}
	book, err := notebook.Open(ctx, path, notebook.Options{})
	if err != nil {
		return err
	}
	defer book.Close()
	entries := demo.Season(c.Fields, c.Seed)
	if _, err := book.Append(ctx, entries...); err != nil {
		return err
	}
	today := demo.Today()
	if c.Harvest {
		if err := handOverAll(ctx, book, season.Assemble(entries), today); err != nil {
			return err
		}
		if _, err := book.Append(ctx, demo.AfterHarvest(c.Seed)...); err != nil {
			return err
		}
		today = calendar.Date(2027, time.July, 10)
	}
	fmt.Fprintf(d.out, "An invented district; the day is %s.\n", today.Spoken())
	return serve(ctx, d, book, c.Listen, nil, func() calendar.Day { return today })
}

// handOverAll freezes the plan of every field as of a day, as the advisor would have handed them over then.
func handOverAll(ctx context.Context, book *notebook.Notebook, s *season.Season, day calendar.Day) error {
	advisor, err := advice.NewAdvisor()
	if err != nil {
		return err
	}
	for _, f := range s.Fields {
		fs, _ := s.Of(f.ID, day)
		frozen, err := advisor.Freeze(fs, version, day.Time().Add(18*time.Hour), fs.Settings.Advisor)
		if err != nil {
			return err
		}
		if _, err := book.Freeze(ctx, notebook.Frozen{Field: f.ID, Frozen: frozen}); err != nil {
			return err
		}
	}
	return nil
}

// serve answers requests until the context ends, then lets those under way finish.
func serve(ctx context.Context, d *door, book *notebook.Notebook, address string, own []*rulebook.Book, today func() calendar.Day) error {
	handler, err := server.New(server.Options{Notebook: book, Today: today, Now: d.now, Engine: version, Books: own})
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w; choose another address with --listen", address, err)
	}
	s := &http.Server{
		Handler: handler, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, IdleTimeout: 2 * time.Minute,
	}
	fmt.Fprintf(d.out, "Culm is at http://%s/ — stop it with Ctrl-C.\n", listener.Addr())
	done := make(chan error, 1)
	go func() { done <- s.Serve(listener) }()
	go handler.Warm(ctx) // what goes wrong here goes wrong again, and is told, when a page is asked for
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	closing, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	if err := s.Shutdown(closing); err != nil {
		return err
	}
	if err := <-done; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}
