package folder_test

import (
	"fmt"
	"os"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/exchange/folder"
	"culm/season"
)

// The folder examples/two-fields holds two fields of an invented district.
func ExampleRead() {
	content, problems := folder.Read(os.DirFS("../../examples"), "two-fields")
	problems = append(problems, content.Check(calendar.Date(2027, time.February, 10))...)
	for _, p := range problems {
		fmt.Println(p)
	}
	s := season.Assemble(content.Entries)
	for _, f := range s.Fields {
		goal := unit.Convert(f.Crop.YieldKind(), float64(f.YieldGoal.Value), s.Settings.Units)
		fmt.Printf("%s, %v, %d readings, goal %g bu/ac by %s (%s)\n",
			f.Name, f.Crop, len(s.Readings[f.ID][0].Readings), goal, f.YieldGoal.Origin.By, f.YieldGoal.Origin.Where)
	}
	fmt.Println(len(s.Weather["linden"]), "days of weather,", len(s.LatestForecast("linden").Days), "days of forecast")
	// Output:
	// Creek 40, winter canola, 20 readings, goal 40 bu/ac by Brackwater Farm (season.yaml:47)
	// North 80, winter wheat for grain, 20 readings, goal 55 bu/ac by advisor (season.yaml:34)
	// 162 days of weather, 10 days of forecast
}
