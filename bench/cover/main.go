//go:build unix

// Command cover times a photo from the file to the classes of its patches, in processor time, so that other
// work on the machine counts less.
//
//	cover make FILE     write the input: a drawn no-till field, JPEG of 12 megapixels
//	cover time FILE N   read and look N times, and print medians
package main

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"runtime"
	"slices"
	"strconv"
	"syscall"
	"time"

	"culm/agronomy/cover"
	"culm/agronomy/cover/drawn"
	"culm/exchange/photo"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "cover:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	switch {
	case len(args) == 2 && args[0] == "make":
		return write(args[1])
	case len(args) == 3 && args[0] == "time":
		rounds, err := strconv.Atoi(args[2])
		if err != nil || rounds < 1 {
			return fmt.Errorf("%q is not a number of rounds", args[2])
		}
		return measure(args[1], rounds)
	default:
		return fmt.Errorf("expected make FILE or time FILE N")
	}
}

func write(path string) error {
	d := drawn.Draw(drawn.NoTill(6.3))
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	m := &image.RGBA{Pix: d.RGBA, Stride: 4 * d.Width, Rect: image.Rect(0, 0, d.Width, d.Height)}
	if err := jpeg.Encode(f, m, &jpeg.Options{Quality: 90}); err != nil {
		return err
	}
	return f.Close()
}

// measure prints the medians of decoding alone, of reading (decoding, scaling and details), of looking, and
// of reading and looking together.
func measure(path string, rounds int) error {
	runtime.GOMAXPROCS(1)
	file, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	times := make([][]time.Duration, 4)
	for range rounds {
		start := spent()
		if _, err := jpeg.Decode(bytes.NewReader(file)); err != nil {
			return err
		}
		decoded := spent()
		p, err := photo.Read(path, bytes.NewReader(file))
		if err != nil {
			return err
		}
		read := spent()
		if _, err := cover.Look(p.Pixels); err != nil {
			return err
		}
		looked := spent()
		for i, t := range []time.Duration{decoded - start, read - decoded, looked - read, looked - decoded} {
			times[i] = append(times[i], t)
		}
	}
	for i, name := range []string{"decode alone", "read: decode, scale, details", "look", "read and look"} {
		slices.Sort(times[i])
		fmt.Printf("%-30s %4d ms (%d to %d)\n", name, times[i][rounds/2].Milliseconds(), times[i][0].Milliseconds(), times[i][rounds-1].Milliseconds())
	}
	return nil
}

// spent is the processor time of this process so far.
func spent() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
