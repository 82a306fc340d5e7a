package ammonia_test

import (
	"encoding/csv"
	"math"
	"strconv"
	"testing"
	"time"

	"culm/internal/opendata"
)

// The mean of a day's low and high of the air stands for the temperature of the surface. At Manhattan, Kansas (US
// Climate Reference Network, October to April 2003 to 2017), where the surface's is measured by infrared, it does so
// with a bias of -0.1 °C and a root mean square error of 1.6 °C; the soil at 5 cm follows with 4.4.
func TestAirStandsForTheSurface(t *testing.T) {
	rows, err := csv.NewReader(opendata.Open(t, "wx_manhattan_ks_uscrn/uscrn_daily_53974.csv")).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	var air, soil off
	for _, row := range rows[1:] {
		number := func(name string) float64 {
			v, err := strconv.ParseFloat(row[column[name]], 64)
			if err != nil || v == -9999 {
				return math.NaN()
			}
			return v
		}
		day, err := time.Parse("20060102", row[column["LST_DATE"]])
		if err != nil {
			t.Fatal(err)
		}
		if m := day.Month(); m > time.April && m < time.October {
			continue
		}
		surface := number("SUR_TEMP_DAILY_AVG")
		air.add((number("T_DAILY_MIN")+number("T_DAILY_MAX"))/2, surface)
		soil.add(number("SOIL_TEMP_5_DAILY"), surface)
	}
	if air.n < 2000 || math.Abs(air.bias()+0.1) > 0.05 || math.Abs(air.rmse()-1.6) > 0.05 {
		t.Errorf("air, %v days: bias %.2f, RMSE %.2f °C; published -0.1 and 1.6", air.n, air.bias(), air.rmse())
	}
	if math.Abs(soil.rmse()-4.4) > 0.05 {
		t.Errorf("soil at 5 cm, %v days: RMSE %.2f °C; published 4.4", soil.n, soil.rmse())
	}
}

// off sums how far one series is from another.
type off struct{ n, sum, squares float64 }

func (o *off) add(a, b float64) {
	if by := a - b; !math.IsNaN(by) {
		o.n, o.sum, o.squares = o.n+1, o.sum+by, o.squares+by*by
	}
}

func (o off) bias() float64 { return o.sum / o.n }
func (o off) rmse() float64 { return math.Sqrt(o.squares / o.n) }
