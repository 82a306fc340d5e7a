package trials

import "culm/agronomy/ammonia"

// Otherwise is a sort of Montana's trials with its made-up weather made up otherwise.
type Otherwise struct {
	Sort, Weather string
	Reckoned      float64 // share of the nitrogen lost
}

// OtherWeather shows how much hangs on the weather that was made up: the same sort of trial in late March, at 3
// °C unless said, under other rains that its publication allows, and some that it does not.
func OtherWeather() ([]Otherwise, error) {
	t := montanaTable()[12].trial(false) // trial 4, of 25 March
	sky := func(surface ammonia.Surface, mean float64, falls []Shower) Sky {
		s := t.Sky
		s.Surface, s.Mean, s.Falls = surface, mean, falls
		return s
	}
	var all []Otherwise
	for _, row := range []struct {
		sort, weather string
		sky           Sky
	}{
		{"moist ground, slow drying", "no rain at all", sky(ammonia.Moist, 3, nil)},
		{"moist ground, slow drying", "3 mm every 8 days", sky(ammonia.Moist, 3, every(6, 8, 3))},
		{"moist ground, slow drying", "3 mm every 8 days, -2 °C", sky(ammonia.Moist, -2, every(6, 8, 3))},
		{"moist ground, slow drying", "3 mm every 8 days, 10 °C", sky(ammonia.Moist, 10, every(6, 8, 3))},
		{"moist ground, slow drying", "4.5 mm every 8 days: counted as rain that carries in", sky(ammonia.Moist, 3, every(6, 8, 4.5))},
		{"dry ground, light rains", "3 mm every 8 days: not counted", sky(ammonia.DryGround, 3, every(4, 8, 3))},
		{"dry ground, light rains", "5 mm every 8 days", sky(ammonia.DryGround, 3, every(4, 8, 5))},
		{"dry ground, light rains", "7.5 mm every 8 days", sky(ammonia.DryGround, 3, every(4, 8, 7.5))},
		{"dry ground, light rains", "3 mm on the fourth day, then 7.5 mm every 8 days", sky(ammonia.DryGround, 3, append(every(12, 8, 7.5), Shower{4, 3}))},
		{"dry ground, heavy rain", "20 mm the day after", sky(ammonia.DryGround, 3, []Shower{{1, 20}})},
		{"dry ground, heavy rain", "20 mm on day 10", sky(ammonia.DryGround, 3, []Shower{{10, 20}})},
		{"dry ground, heavy rain", "3 mm on day 3, 20 mm on day 10", sky(ammonia.DryGround, 3, []Shower{{3, 3}, {10, 20}})},
	} {
		t.Sky = row.sky
		o, err := t.Reckon()
		if err != nil {
			return nil, err
		}
		all = append(all, Otherwise{row.sort, row.weather, o.Reckoned})
	}
	return all, nil
}
