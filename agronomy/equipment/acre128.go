package equipment

import (
	"errors"
	"fmt"
	"time"

	"culm/agronomy/unit"
)

// FluidOunce is the US fluid ounce, 1/128 of a gallon.
const FluidOunce = unit.Gallon / 128

// Strip128 is how far a boom is driven so that one nozzle, or the nozzles of one row, covers 1/128 acre: then the
// ounces caught in the time it takes are gallons an acre [cite.LouisianaSprayer]. width is that of the strip.
func Strip128(width unit.Length) (unit.Length, error) {
	if err := positive("strip's width", width, "the spacing of the nozzles, or of the rows, above zero"); err != nil {
		return 0, err
	}
	const square = 43560 * unit.Foot * unit.Foot / 128 // m2
	return square / width, nil
}

// Run128 is a test on 1/128 acre: the time that the strip took at the speed of work, and what was caught standing
// still for the same time.
type Run128 struct {
	Width  unit.Length
	Took   time.Duration
	Caught unit.Volume // by all nozzles of the strip together
}

// Rate gives the rate and the speed of the run.
func (r Run128) Rate() (unit.VolumePerArea, unit.Speed, error) {
	length, err := Strip128(r.Width)
	if err != nil {
		return 0, 0, err
	}
	switch {
	case r.Took <= 0:
		err = fmt.Errorf("the strip took %v; expected a time above zero", r.Took)
	case r.Caught < 0:
		err = fmt.Errorf("%.4g L was caught; expected zero or more", float64(r.Caught))
	}
	if err != nil {
		return 0, 0, err
	}
	speed := unit.Speed(float64(length) / r.Took.Seconds())
	if err := (Spray{Speed: speed}).checkSpeed(); err != nil {
		return 0, 0, err
	}
	return unit.VolumePerArea(r.Caught/FluidOunce) * unit.GallonPerAcre, speed, nil
}

// Recount checks the number by which a rate controller counts volume: pulses of its meter to a volume. Counted is
// what the controller says has run through, Caught what really did, by weight or in a marked tank. The new number is
// the old one times counted over caught [cite.ControllerPractice]. A controller whose number is volume to a pulse
// wants the old one times caught over counted.
type Recount struct {
	Number          float64
	Counted, Caught unit.Volume
}

// leaveWithin is how far off a count may be before it is changed: less than a person reads off a tank. Common
// practice, no source.
const leaveWithin = unit.Fraction(0.02)

// Recounted is what becomes of a controller's number.
type Recounted struct {
	Number float64
	// Off is what the controller counted too much, as a share of what was caught.
	Off unit.Fraction
	// Leave says that it is near enough.
	Leave bool
}

// Check gives the corrected number.
func (r Recount) Check() (Recounted, error) {
	err := errors.Join(
		positive("controller's number", unit.Ratio(r.Number), "a number above zero"),
		positive("volume counted", r.Counted, "a volume above zero"),
		positive("volume caught", r.Caught, "a volume above zero"),
	)
	if err != nil {
		return Recounted{}, err
	}
	off := unit.Fraction(r.Counted/r.Caught) - 1
	return Recounted{Number: r.Number * float64(r.Counted/r.Caught), Off: off, Leave: off >= -leaveWithin && off <= leaveWithin}, nil
}
