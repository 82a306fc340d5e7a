package folder

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// AddForecast puts a forecast, as it was fetched, into a season folder as forecast/<station>.json, in place of
// one that was fetched before; a list of days or hours that somebody put there is left alone. The file appears whole or not at all. It gives the file's name. What is in the
// file is looked at when the folder is read.
func AddForecast(dir, station string, data []byte) (name string, err error) {
	if info, err := os.Stat(filepath.Join(dir, settingsFile)); err != nil || !info.Mode().IsRegular() {
		return "", fmt.Errorf("%s is no season folder: it has no %s", dir, settingsFile)
	}
	if station == "" {
		return "", errors.New("the forecast is of no station")
	}
	into := filepath.Join(dir, forecastDir)
	if err := os.MkdirAll(into, 0o755); err != nil {
		return "", reason(err)
	}
	name = filepath.Join(into, fileNameOf(station)+".json")
	if there, err := os.ReadFile(name); err == nil {
		if _, own := asPlainForecast(there); own {
			return "", fmt.Errorf("%s holds a forecast of another source; take it away to fetch one", name)
		}
	}
	temporary := filepath.Join(into, "."+fileNameOf(station)+".new")
	_ = os.Remove(temporary) // left by a run that was cut short
	if err := putFile(temporary, data); err != nil {
		_ = os.Remove(temporary)
		return "", fmt.Errorf("%s cannot be written: %w", name, reason(err))
	}
	if err := os.Rename(temporary, name); err != nil {
		_ = os.Remove(temporary)
		return "", fmt.Errorf("%s cannot be put in place: %w", name, reason(err))
	}
	return name, nil
}
