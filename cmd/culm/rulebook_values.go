package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/rulebook"
	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/working"
	"culm/season"
	"culm/server/bookpage"
)

// byHand is the origin of values given on the command line.
func byHand() working.Origin { return working.Origin{Kind: working.Setting, By: "hand"} }

// factsByHand makes facts of nothing but name=value pairs, for the first crop of the first rule.
func factsByHand(pairs []string, rules ...*rulebook.Rule) (*rulebook.Facts, error) {
	f := &rulebook.Facts{}
	if crops := rules[0].Crops; len(crops) > 0 {
		f.Crop = crops[0]
	}
	return f, giveAll(f, pairs, rules...)
}

// giveAll adds name=value pairs to facts, as they are asked for by one of the rules. A value without a unit is in
// the unit of the first rule that asks for it. Every pair that cannot be used is told.
func giveAll(f *rulebook.Facts, pairs []string, rules ...*rulebook.Rule) error {
	var problems []error
	seen := map[string]bool{}
	for _, pair := range pairs {
		name, value, ok := strings.Cut(pair, "=")
		name, value = strings.TrimSpace(name), strings.TrimSpace(value)
		switch {
		case !ok || value == "":
			problems = append(problems, fmt.Errorf("found %q, expected name=value such as yieldGoal=60 or yieldGoal=4t/ha", pair))
		case seen[name]:
			problems = append(problems, fmt.Errorf("%s is given twice", name))
		case name == "crop":
			problems = append(problems, giveCrop(f, value))
		default:
			problems = append(problems, give(f, name, value, rules))
		}
		seen[name] = true
	}
	problems = append(problems, notConverted(f, pairs, rules)...)
	if err := errors.Join(problems...); err != nil {
		return exitError{exitBadInput, fmt.Errorf("%w\n%s", err, whatItTakes(rules...))}
	}
	return nil
}

func giveCrop(f *rulebook.Facts, value string) error {
	crops := []season.Crop{season.WheatGrain, season.WheatGrazed, season.WheatGrazeOut, season.Canola}
	if !slices.Contains(crops, season.Crop(value)) {
		return fmt.Errorf("crop: found %q, expected wheat-grain, wheat-grazed, wheat-graze-out or canola", value)
	}
	f.Crop = season.Crop(value)
	return nil
}

func give(f *rulebook.Facts, name, value string, rules []*rulebook.Rule) error {
	in, ok := inputOf(name, rules)
	if !ok {
		return fmt.Errorf("%s: is no input here", name)
	}
	switch in.Sort {
	case rulebook.Number:
		v, err := quantity.ParseValue(value)
		if err != nil {
			return fmt.Errorf("%s: %w; expected a number in %s", name, err, in.Unit)
		}
		u := in.Unit
		if v.HasUnit {
			u = v.Unit
		}
		f.Give(in.Name, v.Number, u, byHand())
	case rulebook.YesNo:
		if !slices.Contains([]string{"yes", "no", "true", "false"}, strings.ToLower(value)) {
			return fmt.Errorf("%s: found %q, expected yes or no", name, value)
		}
		f.Say(in.Name, value, byHand())
	default:
		if in.Words != nil && !slices.Contains(in.Words, strings.ToLower(value)) {
			return fmt.Errorf("%s: found %q, expected one of %s", name, value, strings.Join(in.Words, ", "))
		}
		f.Say(in.Name, value, byHand())
	}
	return nil
}

// inputOf finds an input of the rules by its name; capitals make no difference.
func inputOf(name string, rules []*rulebook.Rule) (rulebook.Input, bool) {
	for _, r := range rules {
		for _, in := range r.Inputs {
			if strings.EqualFold(string(in.Name), name) {
				return in, true
			}
		}
	}
	return rulebook.Input{}, false
}

// notConverted tells of values whose unit does not convert into that of a rule that asks for them.
func notConverted(f *rulebook.Facts, pairs []string, rules []*rulebook.Rule) []error {
	var problems []error
	for _, r := range rules {
		slots := r.Slots(f)
		for i, in := range r.Inputs {
			if in.Sort != rulebook.Number || slots.IsSet(i) {
				continue
			}
			for _, pair := range pairs {
				name, value, _ := strings.Cut(pair, "=")
				v, err := quantity.ParseValue(value)
				if err != nil || !strings.EqualFold(strings.TrimSpace(name), string(in.Name)) {
					continue
				}
				if _, err := quantity.Between(v.Unit, in.Unit, 0); err != nil {
					problems = append(problems, fmt.Errorf("%s: %w", in.Name, err))
				}
			}
		}
	}
	return problems
}

// whatItTakes lists the inputs of rules, one a line.
func whatItTakes(rules ...*rulebook.Rule) string {
	var lines []string
	for _, r := range rules {
		lines = append(lines, r.ID()+" takes")
		for _, in := range bookpage.RuleOf(r).Inputs {
			line := fmt.Sprintf("  %-15s %s: %s", in.Name, in.Label, in.Takes())
			switch {
			case in.Optional:
				line += "; may be left out"
			case in.Default != nil:
				line += "; has a default"
			}
			lines = append(lines, line)
		}
		if len(r.Crops) > 1 {
			var crops []string
			for _, c := range r.Crops {
				crops = append(crops, string(c))
			}
			lines = append(lines, fmt.Sprintf("  %-15s %s", "crop", strings.Join(crops, ", ")+"; the first where it is left out"))
		}
	}
	return strings.Join(lines, "\n")
}

// missing lists the inputs of a rule that were not given and for which nothing stands in.
func missing(r *rulebook.Rule, f *rulebook.Facts) []string {
	slots := r.Slots(f)
	var names []string
	for i, in := range r.Inputs {
		if !slots.IsSet(i) && in.Default == nil && !in.Optional {
			names = append(names, string(in.Name))
		}
	}
	return names
}
