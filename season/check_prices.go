package season

import "fmt"

// What may have a price, by the keys that the advice looks for.
const (
	grains   = "wheat, canola or gain"
	products = "urea, urea-inhibitor, uan-28, uan-32, ammonium-sulfate or ammonium-thiosulfate"
	carriers = "monoammonium-phosphate, diammonium-phosphate, triple-superphosphate, potassium-chloride, gypsum, elemental-sulfur or lime"
	passes   = "pass/broadcast, pass/flat-fan or pass/stream"
)

func isProduct(item string) bool {
	switch item {
	case "urea", "urea-inhibitor", "uan-28", "uan-32", "ammonium-sulfate", "ammonium-thiosulfate":
		return true
	default:
		return false
	}
}

// isCarrier says that an item brings phosphate, potash, sulfur or chloride, or is lime.
func isCarrier(item string) bool {
	switch item {
	case "monoammonium-phosphate", "diammonium-phosphate", "triple-superphosphate", "potassium-chloride",
		"gypsum", "elemental-sulfur", "lime":
		return true
	default:
		return false
	}
}

func isPass(item string) bool {
	switch item {
	case "pass/broadcast", "pass/flat-fan", "pass/stream":
		return true
	default:
		return false
	}
}

func isGrain(item string) bool { return item == "wheat" || item == "canola" || item == "gain" }

func (c *checker) price(e Entry, p *Price) {
	c.notToCome(e, "the price of "+p.Item, p.Day)
	if !isProduct(p.Item) && !isCarrier(p.Item) && !isPass(p.Item) && !isGrain(p.Item) {
		c.say(e, wrong("item", "there is no product, grain or pass of this name", `"`+p.Item+`"`, grains+"; "+products+"; "+carriers+"; "+passes))
		return
	}
	if isPass(p.Item) {
		if !(p.Pass > 0) {
			c.say(e, wrong("price", "the price of "+p.Item+" is not above zero", fmt.Sprintf("$%.4g/ha", float64(p.Pass)), "what the pass costs"))
		}
		return
	}
	switch {
	case !(p.Price > 0):
		c.say(e, wrong("price", "the price of "+p.Item+" is not above zero", perKilogram(p.Price), "what it costs or brings"))
	case !(p.Low > 0):
		c.say(e, wrong("low", "the lowest price of "+p.Item+" is not above zero", perKilogram(p.Low), "a price"))
	case !(p.Low <= p.Price && p.Price <= p.High):
		c.say(e, wrong("price", "the price of "+p.Item+" is not between its lowest and its highest", perKilogram(p.Price), perKilogram(p.Low)+" to "+perKilogram(p.High)))
	}
}

func perKilogram[T ~float64](p T) string { return fmt.Sprintf("$%.4g/kg", float64(p)) }
