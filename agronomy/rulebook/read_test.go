package rulebook_test

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"culm/agronomy/rulebook"
)

// sound is a small book that reads well; the tables below break it in one place each.
const sound = `key: somewhere
name: Wheat, somewhere
region: Somewhere
publisher: An invented extension service
edition: first
sources:
  page: {text: "An invented page.", status: confirmed in the source}
rules:
  - key: nitrogen
    name: Mass balance, somewhere
    answers: nitrogen
    family: mass balance
    crops: [wheat-grain]
    refuses: {canola: Made for wheat.}
    source: page
    unit: lb N/ac
    inputs:
      yieldGoal: {unit: bu/ac, range: [10, 150]}
      nitrate: {unit: lb N/ac, depth: 24 in, soil: 0.3 million lb per acre-inch, range: [0, 400]}
      phosphorus: {unit: ppm P, depth: 6 in, range: [0, 200], methods: [bray-1], optional: true}
      previousCrop: {words: true, default: {is: wheat, why: not noted}}
    constants:
      perBushel: {value: 2.5, unit: lb N/bu, status: confirmed in the source}
      most: {value: 300, unit: lb N/ac, status: from memory}
    tables:
      legume:
        unit: lb N/ac
        by: previousCrop
        words:
          soybean: 20
          wheat, corn: 0
        status: confirmed in the source
      byYield:
        unit: lb N/ac
        axes: [{name: yieldGoal, unit: bu/ac, at: [10, 50, 150]}]
        between: straight line
        beyond: silent
        rows: [0, 5, 10]
        status: confirmed in the source
    classes:
      level: {by: nitrate, of: [{below: 30, word: low}, {below: 60, word: medium}, {word: high}], status: from memory}
    rating: level
    steps:
      - {key: need, is: perBushel * yieldGoal, label: what the yield needs}
      - {key: less, is: "min(nitrate + legume(previousCrop), most)"}
    terms:
      - {is: need, for: yieldGoal}
      - {is: -less, for: nitrate}
      - {is: byYield(yieldGoal), for: constant}
    floor: 0
    remarks:
      - {when: given(phosphorus) and need > most, say: More than any field.}
    claims:
      - {when: nitrate rises, answer: never rises}
    examples:
      - {name: 50 bu, given: {yieldGoal: 50, nitrate: 40, previousCrop: wheat}, answer: 90, status: derived from confirmed facts}
`

// A mistake is told with the file, the line, the field, what was found and what was expected.
func TestProblemsAreNamedWithTheirLine(t *testing.T) {
	if _, err := rulebook.Parse("somewhere.yaml", []byte(sound)); err != nil {
		t.Fatalf("the sound book: %v", err)
	}
	for _, c := range []struct{ name, from, to, want string }{
		{"a key that is not known", "region: Somewhere", "regoin: Somewhere", `somewhere.yaml:3: the key "regoin" is not known here; perhaps "region" is meant`},
		{"one inside", "depth: 24 in, soil", "depht: 24 in, soil", `somewhere.yaml:19: rules.nitrogen.inputs.nitrate: the key "depht" is not known here; perhaps "depth" is meant`},
		{"a key twice", "edition: first", "edition: first\nedition: second", "somewhere.yaml:6"},
		{"nothing where text must be", "name: Wheat, somewhere", "name:", "somewhere.yaml:2: name: must be given"},
		{"capitals in a key", "key: somewhere", "key: Somewhere", "somewhere.yaml:1: key: found \"Somewhere\", expected small letters"},
		{"text for a number", "value: 2.5", "value: some", `somewhere.yaml:23: rules.nitrogen.constants.perBushel.value: found "some", expected a number`},
		{"not a number", "value: 2.5", "value: .nan", `found ".nan", expected a number`},
		{"beyond any number", "value: 2.5", "value: 2.5e30", "2.5e30 is too large for a book, expected at most 1e9"},
		{"beyond what a computer counts to", "value: 2.5", "value: 1e308", "1e308 is too large for a book"},
		{"a decimal comma inside braces", "value: 2.5", "value: 2,5", "somewhere.yaml:23: rules.nitrogen.constants.perBushel.value: a comma begins a new key; decimals stand behind a point: 2.5"},
		{"a decimal comma in a line of its own", "edition: first", "edition: first\nyear: 2016,5", "decimals stand behind a point: 2016.5"},
		{"a unit beside a number", "value: 2.5", "value: 2.5 lb N/bu", "the unit (lb N/bu) does not stand beside the number"},
		{"a number in quotes with a space behind it", "value: 2.5", `value: "2.5 "`, `found "2.5 ", expected a number`},
		{"a unit in an example", "nitrate: 40,", "nitrate: 40 ppm,", `found "40 ppm", expected the number alone, in lb N/ac as the input has it`},
		{"a unit in an expression", "is: perBushel * yieldGoal", "is: 2.5 lb * yieldGoal", "found lb where it has no meaning; a number with a unit needs a name: put it under constants"},
		{"a line set in otherwise", "    floor: 0", "   floor: 0", "somewhere.yaml:50: the line is not set in like its neighbours"},
		{"a tab", "    floor: 0", "\tfloor: 0", "somewhere.yaml:50: the line begins with a tab, expected spaces"},
		{"a letter of Latin-1", "region: Somewhere", "region: Somewh\xe8re", "somewhere.yaml:3: found the byte 0xe8, which is no letter in UTF-8"},
		{"a control character", "region: Somewhere", "region: Some\x07where", "somewhere.yaml:3: found the control character U+0007"},
		{"one that a screen obeys, written as an escape", "region: Somewhere", `region: "\e[31mSomewhere"`, "somewhere.yaml:3: found the hidden character U+001B"},
		{"one that turns the writing", "name: Mass balance, somewhere", "name: Mass \u202ebalance", "somewhere.yaml:10: found the hidden character U+202E"},
		{"one in a key", "perBushel: {value", `"perBus\u200bhel": {value`, "found the hidden character U+200B"},
		{"no status", "unit: lb N/bu, status: confirmed in the source", "unit: lb N/bu", "somewhere.yaml:23: rules.nitrogen.constants.perBushel: needs a status"},
		{"a status of one's own", "unit: lb N/bu, status: confirmed in the source", "unit: lb N/bu, status: certain", `rules.nitrogen.constants.perBushel.status: found "certain"; known are`},
		{"no publication", "source: page", "source: hearsay", `somewhere.yaml:15: rules.nitrogen.source: "hearsay" is no publication under sources, nor in Culm's catalogue`},
		{"a rule without one", "    source: page\n", "", "rules.nitrogen.source: must name a publication"},
		{"a crop of other books", "[wheat-grain]", "[barley]", `"barley" is not a crop`},
		{"a crop refused and served", "refuses: {canola", "refuses: {wheat-grain", "cannot refuse it"},
		{"an answer of one's own", "answers: nitrogen", "answers: nitrogn", `perhaps "nitrogen" is meant`},
		{"nitrogen without a family", "    family: mass balance\n", "", "nitrogen rules need a family"},
		{"an input no notebook knows", "yieldGoal: {unit", "yieldgoal: {unit", `no notebook knows "yieldgoal"; perhaps "yieldGoal" is meant`},
		{"no range", "{unit: bu/ac, range: [10, 150]}", "{unit: bu/ac}", "rules.nitrogen.inputs.yieldGoal.range: must be given"},
		{"a range upside down", "range: [10, 150]", "range: [150, 10]", "found 150 to 10, expected the lower number first"},
		{"a depth in words", "depth: 24 in, soil", "depth: two feet, soil", `found "two feet", expected a depth such as 24 in`},
		{"no mass of soil", ", soil: 0.3 million lb per acre-inch", "", "rules.nitrogen.inputs.nitrate.soil: must be given"},
		{"another mass of soil", "0.3 million lb per acre-inch", "2 million lb per 6 in", "expected the mass of soil such as 0.3 million lb per acre-inch"},
		{"an unknown laboratory method", "[bray-1]", "[bray-9]", `"bray-9" is no laboratory method known for phosphorus; perhaps "bray-1" is meant`},
		{"no laboratory method", ", methods: [bray-1]", "", "must name the laboratory methods"},
		{"a unit that is none", "unit: lb N/bu", "unit: lb N/bushel", "rules.nitrogen.constants.perBushel.unit"},
		{"units that do not fit: lb N/ac and ppm P", "{is: -less, for", "{is: -phosphorus, for", "somewhere.yaml:48: rules.nitrogen.terms.is: column 1: "},
		{"a sum of two units", "is: perBushel * yieldGoal", "is: perBushel + yieldGoal", "somewhere.yaml:44: rules.nitrogen.steps.is: column "},
		{"a name that is not there", "is: need, for", "is: ned, for", "rules.nitrogen.terms.is: column 1: "},
		{"steps in a circle", "is: perBushel * yieldGoal, label", "is: less + perBushel * yieldGoal, label", ""},
		{"a term for nothing", "is: need, for: yieldGoal", "is: need, for: harvest", `rules.nitrogen.terms.for: found "harvest"`},
		{"levels that do not rise", "at: [10, 50, 150]", "at: [10, 150, 50]", "the levels of yieldGoal must rise: found 50 after 150"},
		{"a cell short", "rows: [0, 5, 10]", "rows: [0, 5]", "found a list of 2, expected a list of 3, one for each level of yieldGoal"},
		{"classes that overlap", "{below: 60, word: medium}", "{below: 20, word: medium}", `the classes overlap: "medium" ends at 20, "low" before it at 30`},
		{"no class for the highest", ", {word: high}]", "]", `the last class, "medium", must lack below`},
		{"one word in two rows", "soybean: 20", "soybean, corn: 20", `"corn" stands in two rows`},
		{"an example that does not come out", "answer: 90", "answer: 91", "somewhere.yaml:56: rules.nitrogen.examples (50 bu): gives 90 lb N/ac, printed is 91"},
		{"an example without its test", ", nitrate: 40", "", "gives no answer: needs a nitrate test of the soil"},
		{"no example", sound[strings.Index(sound, "    examples:"):], "", "must hold at least one worked example"},
		{"a claim that does not hold", "nitrate rises, answer: never rises", "nitrate rises, answer: never falls", "somewhere.yaml:54: rules.nitrogen.claims: does not hold: the answer goes from"},
		{"an answer below zero", "    floor: 0\n", "", "expected nothing below 0; set floor: 0"},
		{"a number nobody uses", "      most: {", "      least: {value: 1, unit: lb N/ac, status: from memory}\n      most: {", "rules.nitrogen.constants.least: is used nowhere"},
		{"division by zero within the ranges", "is: perBushel * yieldGoal, label", "is: perBushel * yieldGoal * nitrate / (nitrate - nitrate), label", "it would be divided by zero"},
		{"an anchor", "edition: first", "edition: &e first", "somewhere.yaml:5: found an anchor or alias"},
		{"a tag", "edition: first", "edition: !!str first", "found the tag"},
		{"two documents", "key: somewhere\n", "key: somewhere\n---\n", "somewhere.yaml: found a second document"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(sound, c.from, c.to, 1)
			if text == sound {
				t.Fatal("the break breaks nothing")
			}
			if c.name == "steps in a circle" {
				text = strings.Replace(text, "min(nitrate +", "min(need + nitrate +", 1)
				c.want = "rules.nitrogen.steps: go in a circle: need → less → need"
			}
			_, err := rulebook.Parse("somewhere.yaml", []byte(text))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v\nwant %s", err, c.want)
			}
		})
	}
	for _, text := range []string{"", "- a list", "just words", "\t", "a: [1", "---\n---\n"} {
		if _, err := rulebook.Parse("somewhere.yaml", []byte(text)); err == nil || !strings.HasPrefix(err.Error(), "somewhere.yaml") {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// Check tells what each stage found, and which could not be run for what an earlier one found.
func TestCheckTellsStageByStage(t *testing.T) {
	report := rulebook.Check("somewhere.yaml", []byte(sound))
	if !report.OK() || len(report.Stages) != 6 {
		t.Fatalf("%+v", report)
	}
	for _, s := range report.Stages {
		if !s.Ran || s.Checked == 0 {
			t.Errorf("%s: ran %v, looked at %d", s.Stage, s.Ran, s.Checked)
		}
	}
	broken := rulebook.Check("somewhere.yaml", []byte(strings.Replace(sound, "perBushel * yieldGoal", "perBushel + yieldGoal", 1)))
	if broken.OK() || broken.Book != nil {
		t.Error("a book that adds lb/bu to bu/ac stands")
	}
	for i, s := range broken.Stages {
		if found := len(s.Problems) > 0; found != (s.Stage == rulebook.StageUnits) || s.Ran != (i < 2) {
			t.Errorf("%s: ran %v, found %v", s.Stage, s.Ran, s.Problems)
		}
	}
}

// Files made to hurt are refused in no time and with little memory.
func TestHostileFiles(t *testing.T) {
	nested := "x: "
	for range 20000 {
		nested += "["
	}
	bomb := "a: &a [x,x,x,x,x,x,x,x,x]\n"
	for i := range 9 {
		bomb += string(rune('b'+i)) + ": &" + string(rune('b'+i)) + " [*" + strings.Repeat(string(rune('a'+i))+",*", 8) + string(rune('a'+i)) + "]\n"
	}
	deep := strings.Replace(sound, "perBushel * yieldGoal", "perBushel * "+strings.Repeat("(", 500)+"yieldGoal"+strings.Repeat(")", 500), 1)
	tower := strings.Replace(sound, "perBushel * yieldGoal", "perBushel * yieldGoal * exp(exp(exp(exp(99))))", 1)
	for name, text := range map[string]string{
		"nested without end": nested,
		"a bomb of aliases":  bomb,
		"too large":          "# " + strings.Repeat("x", 300<<10) + "\n" + sound,
		"parentheses":        deep,
		"beyond all bounds":  tower,
		"many rules":         sound + strings.Repeat("  - {key: a}\n", 500),
		"a long expression":  strings.Replace(sound, "perBushel * yieldGoal", "perBushel * yieldGoal"+strings.Repeat(" * 1", 1000), 1),
		"much to work out":   heavy(),
		"zero bytes":         strings.Repeat("\x00", 1000),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		start := time.Now()
		_, err := rulebook.Parse("hostile.yaml", []byte(text))
		took := time.Since(start)
		runtime.ReadMemStats(&after)
		if err == nil {
			t.Errorf("%s: was taken", name)
		}
		if took > 5*time.Second || after.TotalAlloc-before.TotalAlloc > 200<<20 {
			t.Errorf("%s: took %v and %d MB", name, took, (after.TotalAlloc-before.TotalAlloc)>>20)
		}
	}
}

// heavy is a book whose every answer takes as long as a book can make it, with as many claims as it can make.
func heavy() string {
	var most func(leaves int) string
	most = func(leaves int) string {
		if leaves == 1 {
			return "yieldGoal"
		}
		return "max(" + most(leaves/2) + "," + most(leaves-leaves/2) + ")"
	}
	steps, before := "", "yieldGoal"
	for i := range 60 {
		name := "s" + string(rune('a'+i/26)) + string(rune('a'+i%26))
		steps += "      - {key: " + name + ", is: \"max(" + most(100) + "," + before + ")\"}\n"
		before = name
	}
	text := strings.Replace(sound, "answer: 90", "answer: 91", 1) // so that it is refused in the end
	text = strings.Replace(text, "    terms:\n", steps+"    terms:\n", 1)
	text = strings.Replace(text, "say: More than any field.}", "say: More than any field.}\n      - {when: "+before+" > yieldGoal, say: never}", 1)
	return strings.Replace(text, "    claims:\n", "    claims:\n"+strings.Repeat("      - {when: nitrate rises, answer: never rises}\n", 60), 1)
}

// Whatever is read answers any point of its ranges with a finite number that is not negative, or says why not,
// and whatever is refused says where.
func FuzzParse(f *testing.F) {
	f.Add(sound)
	f.Add("a: &a [*a]")
	f.Add(strings.Replace(sound, "perBushel * yieldGoal", "1 / (nitrate - nitrate) * perBushel * yieldGoal", 1))
	f.Add(strings.Replace(sound, "rows: [0, 5, 10]", "rows: [null, null, 1]", 1))
	files, err := filepath.Glob("books/*.yaml")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text))
	}
	f.Fuzz(func(t *testing.T, text string) {
		b, err := rulebook.Parse("fuzz.yaml", []byte(text))
		if err != nil {
			for _, line := range strings.Split(err.Error(), "\n") {
				if !strings.HasPrefix(line, "fuzz.yaml") {
					t.Errorf("a problem without its place: %q", line)
				}
			}
			return
		}
		for _, r := range b.Rules {
			s := r.NewSlots()
			for i, in := range r.Inputs {
				if in.Sort == rulebook.Word {
					s.SetWord(i, "wheat")
				} else {
					s.Set(i, (in.Low+in.High)/2)
				}
			}
			v, why := r.Evaluate(s)
			if words := r.Why(s, why); why.Answered() == (words != "") {
				t.Errorf("%v, %q", v, words)
			}
			r.Work(&rulebook.Facts{})
		}
	})
}
