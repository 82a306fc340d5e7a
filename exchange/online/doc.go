// Package online fetches forecasts from the network and keeps them. It asks politely: it says who is asking,
// asks again only for what has changed, waits when told to, and gives up after a few tries. What it hands on
// has been looked at: a web page, an endless reply or JSON of another kind is refused in plain words and never
// kept. Where the network cannot be reached it hands on the copy it kept and says how old that is; a forecast
// that was issued too long ago is refused, wherever it comes from.
//
// Clock, waiting and randomness come in through Options, so that tests need neither time nor network.
package online
