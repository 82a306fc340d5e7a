package folder

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"

	"go.yaml.in/yaml/v3"
)

func textKey[T any](key string, at func(*T) *string) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			if text, ok := v.scalar(); ok {
				*at(to) = text
			}
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if *at(of) == "" {
				return nil
			}
			return scalarNode(*at(of))
		},
	}
}

// listKey is a list of words; one word alone is a list of one.
func listKey[T any](key string, at func(*T) *[]string) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			items := []*yaml.Node{v.node}
			if v.node.Kind == yaml.SequenceNode {
				items = v.node.Content
			}
			for _, item := range items {
				one := value{node: item, key: v.key, report: v.report, failed: v.failed}
				if text, ok := one.scalar(); ok && text != "" {
					*at(to) = append(*at(to), text)
				}
			}
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if len(*at(of)) == 0 {
				return nil
			}
			n := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
			for _, text := range *at(of) {
				n.Content = append(n.Content, scalarNode(text))
			}
			return n
		},
	}
}

func choiceKey[T any, W ~string](key string, at func(*T) *W, allowed ...W) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			text, ok := v.scalar()
			switch {
			case !ok || text == "":
			case slices.Contains(allowed, W(text)):
				*at(to) = W(text)
			default:
				v.wrong("the word is not known", quoted(text), oneOf(allowed))
			}
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if *at(of) == "" {
				return nil
			}
			return scalarNode(string(*at(of)))
		},
	}
}

func dateKey[T any](key string, at func(*T) *calendar.Day) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			text, ok := v.scalar()
			if !ok || text == "" {
				return
			}
			day, ok := parseDay([]byte(text))
			if !ok {
				v.wrong("the date cannot be read", quoted(text), expectedDate)
			}
			*at(to) = day
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if at(of).IsZero() {
				return nil
			}
			return plainNode(at(of).String())
		},
	}
}

// datesKey is a list of dates; one date alone is a list of one.
func datesKey[T any](key string, at func(*T) *[]calendar.Day) property[T] {
	list := listKey(key, func(texts *[]string) *[]string { return texts })
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			var texts []string
			list.read(v, &texts)
			for _, text := range texts {
				day, ok := parseDay([]byte(text))
				if !ok {
					v.wrong("the date cannot be read", quoted(text), expectedDate)
					continue
				}
				*at(to) = append(*at(to), day)
			}
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if len(*at(of)) == 0 {
				return nil
			}
			n := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
			for _, day := range *at(of) {
				n.Content = append(n.Content, plainNode(day.String()))
			}
			return n
		},
	}
}

func momentKey[T any](key string, at func(*T) *time.Time) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			text, ok := v.scalar()
			if !ok {
				return
			}
			t, ok := parseMoment(text)
			if !ok {
				v.wrong("the time cannot be read", quoted(text), "a date, or a date and time with its zone")
			}
			*at(to) = t
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if at(of).IsZero() {
				return nil
			}
			return plainNode(at(of).UTC().Format(time.RFC3339Nano))
		},
	}
}

func yesKey[T any](key string, at func(*T) *bool) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			switch text, ok := v.scalar(); {
			case !ok:
			case text == "true" || text == "yes":
				*at(to) = true
			case text != "false" && text != "no" && text != "":
				v.wrong("the answer cannot be read", quoted(text), "yes or no")
			}
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if !*at(of) {
				return nil
			}
			return plainNode("yes")
		},
	}
}

func wholeKey[T any](key string, at func(*T) *int) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			text, ok := v.scalar()
			if !ok || text == "" {
				return
			}
			n, err := strconv.Atoi(text)
			if err != nil {
				v.wrong("the number cannot be read", quoted(text), "a whole number")
			}
			*at(to) = n
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if *at(of) == 0 {
				return nil
			}
			return plainNode(strconv.Itoa(*at(of)))
		},
	}
}

// amountKey is an amount with its unit, such as "45 bu/ac". Which units there are may hang on what was read
// before.
func amountKey[T any, Q ~float64](key string, scales func(*T) []scale, at func(*T) *Q) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			if amount, ok := v.amount(scales(to)); ok {
				*at(to) = Q(amount)
			}
		},
		write: func(of *T, system unit.System) *yaml.Node {
			return amountNode(float64(*at(of)), scales(of), system)
		},
	}
}

// givenAmountKey is an amount that is not written where it is zero.
func givenAmountKey[T any, Q ~float64](key string, scales func(*T) []scale, at func(*T) *Q) property[T] {
	p := amountKey(key, scales, at)
	write := p.write
	p.write = func(of *T, system unit.System) *yaml.Node {
		if *at(of) == 0 {
			return nil
		}
		return write(of, system)
	}
	return p
}

func numberKey[T any, Q ~float64](key string, at func(*T) *Q) property[T] {
	return amountKey(key, func(*T) []scale { return plainNumber() }, at)
}

func amountNode(v float64, scales []scale, system unit.System) *yaml.Node {
	s := scales[forSystem(scales, system)]
	return plainNode(strings.TrimSpace(s.format(v) + " " + s.symbol))
}

func (v *value) amount(scales []scale) (float64, bool) {
	text, ok := v.scalar()
	if !ok {
		return 0, false
	}
	number, symbol := splitAmount(text)
	i := slices.IndexFunc(scales, func(s scale) bool { return s.symbol == symbol })
	switch {
	case i < 0 && symbol == "":
		v.wrong("the amount has no unit", quoted(text), "a number and "+oneOf(symbols(scales))+", such as "+strings.TrimSpace("45 "+scales[0].symbol))
	case i < 0:
		v.wrong("the unit is not known here", quoted(text), "a number and "+oneOf(symbols(scales)))
	default:
		amount, ok := scales[i].parse([]byte(number))
		if !ok {
			v.wrong("the number cannot be read", quoted(text), expectedNumber(number))
		}
		return amount, ok
	}
	return 0, false
}

// splitAmount parts "45 bu/ac" into number and unit, with or without a space between them.
func splitAmount(text string) (number, symbol string) {
	text = strings.TrimSpace(text)
	end := strings.LastIndexAny(text, "0123456789")
	if space := strings.IndexByte(text, ' '); space >= 0 {
		end = space - 1
	} else if slash := strings.IndexByte(text, '/'); slash >= 0 {
		end = strings.LastIndexAny(text[:slash], "0123456789")
	}
	return strings.TrimSpace(text[:end+1]), strings.TrimSpace(text[end+1:])
}

// factKey is an amount with its origin: "45 bu/ac" alone where the origin is the usual one, or else a
// mapping of the value and the parts of its origin.
func factKey[T any, Q unit.Quantity](key string, scales func(*T) []scale, usual working.Origin, at func(*T) *working.Fact[Q]) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			f := working.Fact[Q]{Origin: usual}
			f.Origin.Where = v.where()
			given := value{node: v.node, key: v.key, report: v.report, failed: v.failed}
			if v.node.Kind == yaml.MappingNode {
				given.node = v.origin(&f.Origin)
			}
			if given.node == nil {
				v.wrong("the amount is missing", "a mapping without value", "value: 45 bu/ac, and what is known of its origin")
				return
			}
			if amount, ok := given.amount(scales(to)); ok {
				f.Value = Q(amount)
				*at(to) = f
			}
		},
		write: func(of *T, system unit.System) *yaml.Node {
			f := at(of)
			if !f.Known() {
				return nil
			}
			amount := amountNode(float64(f.Value), scales(of), system)
			parts := differing(f.Origin, usual)
			if len(parts) == 0 {
				return amount
			}
			n := &yaml.Node{Kind: yaml.MappingNode, Content: []*yaml.Node{plainNode("value"), amount}}
			for _, part := range parts {
				n.Content = append(n.Content, scalarNode(part[0]), scalarNode(part[1]))
			}
			return n
		},
	}
}

// origin reads the parts of an origin and gives the node of the value among them.
func (v *value) origin(o *working.Origin) (amount *yaml.Node) {
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		key, child := v.node.Content[i], v.node.Content[i+1]
		part := value{node: child, key: key.Value, report: v.report, failed: v.failed}
		if key.Value == "value" {
			amount = child
			continue
		}
		text, ok := part.scalar()
		if !ok {
			continue
		}
		if err := setOrigin(o, key.Value, text); err != nil {
			part.wrong("the origin cannot be read", err.Error(), "value, kind, by, on, with, source or why")
		}
	}
	return amount
}
