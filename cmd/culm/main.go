// Command culm is a soil-nutrient advisor's notebook and reckoner for top-dressing winter wheat and winter
// canola. See README.md.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
	"time"

	"culm/agronomy/calendar"

	"github.com/alecthomas/kong"
)

// version is set when a release is built.
var version = "0.1.0"

// Exit codes. They are part of the command line's contract.
const (
	exitDone      = 0 // done; for replay: every number identical
	exitFailed    = 1 // something outside the input went wrong: a disk, a port
	exitUsage     = 2 // the command line was not understood
	exitBadInput  = 3 // the input has errors; each was printed with its place
	exitDifferent = 4 // replay: at least one number differs
)

// commands is the command line.
type commands struct {
	Advise    adviseCommand    `cmd:"" help:"Print a plan for every field of a season folder."`
	Days      daysCommand      `cmd:"" help:"Print what each of the coming days would cost each product, and write the good ones as an iCalendar file."`
	Check     checkCommand     `cmd:"" help:"Check a season folder and report every problem."`
	Demo      demoCommand      `cmd:"" help:"Show the season of an invented district in the browser."`
	Serve     serveCommand     `cmd:"" help:"Serve a notebook to the browser."`
	Import    importCommand    `cmd:"" help:"Take a season folder into a notebook."`
	Export    exportCommand    `cmd:"" help:"Write a notebook out as a season folder."`
	Replay    replayCommand    `cmd:"" help:"Compute a frozen plan again and say whether every number is identical."`
	Review    reviewCommand    `cmd:"" help:"Set what was spread and harvested against the frozen plans."`
	Spots     spotsCommand     `cmd:"" help:"Compare poor spots with the good ground beside them; write them as GeoJSON or GPX."`
	Lab       labCommand       `cmd:"" help:"Read laboratory reports of soil samples, and add them to a season folder."`
	Rulebook  rulebookCommand  `cmd:"" help:"Read, check, apply and compare books of regional guidance."`
	Cover     coverCommand     `cmd:"" help:"Tell green, residue and bare soil apart in photos taken straight down."`
	Weather   weatherCommand   `cmd:"" help:"Fetch forecasts."`
	Loss      lossCommand      `cmd:"" help:"Show how the reckoned loss of ammonia stands beside published trials."`
	Nutrients nutrientsCommand `cmd:"" help:"Plan lime and nutrients from soil tests, what limits most first."`
	Placement placementCommand `cmd:"" help:"Weigh streams against flat fans: what they save, the pass they take, and where it breaks even."`
	Products  productsCommand  `cmd:"" help:"Set products side by side by what nitrogen costs that reaches the crop, with the price at which one switches."`
	Blend     blendCommand     `cmd:"" help:"Mix a product with one that carries sulfur, to so much nitrogen for each sulfur."`
	Card      cardCommand      `cmd:"" help:"Make the operator's card of a field: rate on the monitor, settings, loads, days, when to stop; as text, HTML and PDF."`
	Applied   appliedCommand   `cmd:"" help:"Write down in a season folder what was really spread."`
	Sprayer   sprayerCommand   `cmd:"" help:"Set a sprayer: nozzle, pressure and speed for a rate; calibrate it."`
	Catch     catchCommand     `cmd:"" help:"Weigh what was caught under a boom's nozzles: rate, worn and blocked ones, evenness."`
	Spreader  spreaderCommand  `cmd:"" help:"Add up a dry spreader's pan test: the widest acceptable swath, and how even any swath is."`
	Version   versionCommand   `cmd:"" help:"Print the version."`
}

// door is what a command may use of the world outside. Tests replace it.
type door struct {
	out, err io.Writer
	now      func() time.Time
	wide     bool // the output is a terminal: wrap lines, draw progress
}

// today is the day given on the command line, or else that of the clock.
func (d *door) today(given string) (calendar.Day, error) {
	if given == "" {
		return calendar.FromTime(d.now()), nil
	}
	return calendar.Parse(given)
}

// exitError carries an exit code out of a command.
type exitError struct {
	code int
	err  error
}

func (e exitError) Error() string { return e.err.Error() }
func (e exitError) Unwrap() error { return e.err }

func failWith(code int, format string, args ...any) error {
	return exitError{code, fmt.Errorf(format, args...)}
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	d := &door{out: os.Stdout, err: os.Stderr, now: time.Now, wide: isTerminal(os.Stdout)}
	code := run(ctx, d, os.Args[1:])
	stop()
	os.Exit(code)
}

func run(ctx context.Context, d *door, args []string) int {
	var cli commands
	exited := -1
	parser, err := kong.New(&cli,
		kong.Name("culm"),
		kong.Description("Top-dress nitrogen for winter wheat and winter canola, field by field: whether, how much, which product, placed how, on which day, and whether it pays.\n\nExit codes: 0 done; 1 something outside the input failed; 2 the command line was not understood; 3 the input has errors; 4 a replayed plan differs."),
		kong.Writers(d.out, d.err),
		kong.Exit(func(code int) { exited = code }),
		kong.BindTo(ctx, (*context.Context)(nil)),
		kong.Bind(d),
		kong.UsageOnError(),
	)
	if err != nil {
		fmt.Fprintln(d.err, "culm:", err)
		return exitFailed
	}
	parsed, err := parser.Parse(args)
	if exited >= 0 { // --help printed what was asked for
		return exited
	}
	if err != nil {
		fmt.Fprintln(d.err, "culm:", err)
		fmt.Fprintln(d.err, "culm --help lists the commands")
		return exitUsage
	}
	if err := parsed.Run(); err != nil {
		if !errors.Is(err, context.Canceled) {
			fmt.Fprintln(d.err, "culm:", err)
		}
		var withCode exitError
		if errors.As(err, &withCode) {
			return withCode.code
		}
		return exitFailed
	}
	return exitDone
}

type versionCommand struct{}

// Run prints the version and what the program was built with.
func (versionCommand) Run(d *door) error {
	fmt.Fprintln(d.out, "culm", version)
	if info, ok := debug.ReadBuildInfo(); ok {
		fmt.Fprintln(d.out, "built with", info.GoVersion)
	}
	return nil
}
