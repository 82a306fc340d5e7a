package ammonia_test

import (
	"fmt"
	"strings"

	"culm/agronomy/ammonia"
	"culm/agronomy/calendar"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/season"
)

// Urea on moist ground in February, with and without rain the day after. The percentages are our own.
func ExampleExpect() {
	urea, _ := fertilizer.Find("urea")
	day := calendar.Date(2027, 2, 11)
	var weather []season.ForecastDay
	for i := range 10 {
		w := season.ForecastDay{WeatherDay: season.WeatherDay{
			Day: day.Add(i), Low: -1, High: 9, Has: season.HasTemperature | season.HasRain,
		}}
		if i == 1 {
			w.Rain = 0.6 * unit.InchOfWater
		}
		weather = append(weather, w)
	}
	r, err := ammonia.Expect(ammonia.Spreading{Product: urea, Day: day, Weather: weather, Surface: ammonia.Moist})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.ReplaceAll(r.Why(unit.US), "\u202f", " ")) // number and unit stand on a narrow space
	fmt.Printf("lost %.0f %% (%.0f to %.0f); %.0f %% if the rain fails\n", 100*r.Loss, 100*r.Low, 100*r.High, 100*r.WithoutRain)
	fmt.Println("no weather from", r.AssumedFrom)
	// Output:
	// 0.60 in of rain the day after carries it in
	// lost 10 % (4 to 22); 37 % if the rain fails
	// no weather from 2027-02-21
}

// The capacity of a soil to hydrolyse urea, and what that is in a day at 5 °C (Godwin and Jones 1991).
func ExampleHydrolysed() {
	capacity := ammonia.Capacity(1.5, 6.5)
	fmt.Printf("%.5f; %.4f a day at 5 °C, %.4f at freezing\n", capacity,
		ammonia.Hydrolysed(capacity, 5, 1), ammonia.Hydrolysed(capacity, 0, 1))
	// Output:
	// 0.65325; 0.2123 a day at 5 °C, 0.1307 at freezing
}
