package bench

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"

	"lowslung/finding"
	"lowslung/quantity"

	"lowslung/solid"
)

// A Sheet is what to measure on a rig, in which order, with room to write: the bench sheet.
type Sheet struct {
	Name     string            `json:"name" doc:"Name of the build"`
	Count    int               `json:"count" doc:"How many readings it asks for"`
	Stages   []Stage           `json:"stages" nullable:"false" doc:"In the order of the work"`
	Findings []finding.Finding `json:"findings" nullable:"false" doc:"What the builder should know, most urgent first"`
}

// A Stage is what is measured with the rig set up one way.
type Stage struct {
	Title   string   `json:"title" doc:"How the rig is set up"`
	Picture string   `json:"picture" enum:"scales,gauge,raised," doc:"Drawing that goes with it; empty for none"`
	Do      []string `json:"do" nullable:"false" doc:"How to do it"`
	Care    []string `json:"care" nullable:"false" doc:"What can hurt"`
	Rows    []Row    `json:"rows" nullable:"false" doc:"What to read"`
}

// A Row is one reading to take.
type Row struct {
	Number int    `json:"number" doc:"Counted through the sheet"`
	Name   string `json:"name" doc:"Name for the reading"`
	What   string `json:"what" doc:"What to measure, in words"`
	Of     string `json:"of" doc:"Kind of reading"`
	At     string `json:"at" doc:"Where"`
	Side   string `json:"side" enum:"left,right," doc:"Which twin"`
	Unit   string `json:"unit" doc:"Unit to write in"`
	Tip    string `json:"angle" doc:"Of a raised load: the angle to go to; empty otherwise"`
	Load   string `json:"load" doc:"Of a spring deflection: the weight to lay on; empty otherwise"`
	Volts  string `json:"volts" doc:"Of a no-load reading: the voltage to set; empty otherwise"`
	Taken  string `json:"taken" doc:"What the document has of it already; empty for nothing"`
}

// A setup is one stage as it is written down here. The cautions are common practice.
type setup struct {
	title   string
	picture string
	kinds   []string
	do      []string
	care    []string
}

var setups = []setup{
	{"Parts, links and springs off the rig", "", []string{"part mass", "link length", "spring deflection"},
		[]string{"Weigh one of a pair. Weigh what is heavy and not weighed yet first.", "Links: eye centre to eye centre, with calipers over both balls less the half of each.",
			"Springs: stand them on the scale under a rod with a plate, and lay the weight on; how far they give is the reading."},
		[]string{"battery out", "springs jump when they are taken off: glasses on"}},
	{"On four scales, standing", "scales", []string{"mass", "wheel load", "ride height", "wheel height"},
		[]string{"Four scales alike on a flat, level table, their plates level with each other to half a millimetre; two sheets of paper under each wheel, so that no tyre pushes sideways.",
			"Everything in its place as it drives, steering straight. Push the rig down and let it come up, three times, before each reading; take the mean of three.",
			"Heights from the table by rule or height gauge, the scales' height taken off."},
		[]string{"battery in its place but unplugged", "the rig can roll off: a block ahead of and behind the wheels, off the plates"}},
	{"On the table, standing", "gauge", []string{"wheelbase", "shock length", "shaft length", "pinion angle", "pinion angle to table"},
		[]string{"Wheelbase from wheel centre to wheel centre along the table, left and right apart.", "Shocks eye to eye as the rig stands, each side; shafts from joint centre to joint centre.",
			"Angle gauge zeroed on the belly plate for the pinion angle, on the table for the angle to the table; along the pinion shaft, positive when it points up away from the axle."},
		[]string{"battery unplugged: the wheels must not start while fingers are at the shafts"}},
	{"One end raised", "raised", []string{"raised load"},
		[]string{"Block the shocks at their length as it stands, with cable ties or clips, so that nothing gives. Both wheels of the axle that stays low on one board on one scale, all wheels free to turn.",
			"Raise the other end until the gauge on the belly has turned by the angle written, and read the scale. Both ends in turn."},
		[]string{"the rig can fall on hands: one holds it, the other reads; loose strap round the chassis", "battery unplugged and strapped"}},
	{"On the tilt board", "", []string{"tilt angle"},
		[]string{"A batten at the lower wheels, so that nothing slides. Raise slowly until both upper wheels are light, and read the board's angle."},
		[]string{"the rig will fall over: a hand or a strap under it", "battery unplugged and strapped"}},
	{"Motor running free", "", []string{"no-load current", "no-load speed"},
		[]string{"Pinion out of mesh. Run it half a minute, then read current, speed and the voltage at the motor at one throttle."},
		[]string{"rig or motor held fast on a stand; hair, sleeves and cables away from what turns", "motors and controllers get hot", "battery on something that does not burn, plugged in last and unplugged first"}},
}

// SheetOf lists what to measure. Readings that the document has are told, so that they can be taken again or left out.
func SheetOf(m *solid.Model, units quantity.System) Sheet {
	s := Sheet{Name: m.Name, Stages: []Stage{}, Findings: []finding.Finding{}}
	motors := motorsOf(m)
	b := &bench{m: m, motors: motors}
	have := map[[3]string]string{}
	if m.Doc != nil {
		for i := range m.Doc.Readings {
			r := &m.Doc.Readings[i].Value
			have[[3]string{r.Of, r.At, r.Side}] = r.Is.Text
		}
	}
	total, _ := solid.CenterOfMass(m.Lumps(&solid.Stance{{R: solid.Identity}, {R: solid.Identity}}))
	list := possible(m, motors)
	for i := range list {
		b.probes = append(b.probes, probeOf(m, motors, &list[i]))
	}
	v := b.at(newTrial(m, motors), nil, false)
	for _, st := range setups {
		out := Stage{Title: st.title, Picture: st.picture, Do: st.do, Care: st.care, Rows: []Row{}}
		for _, of := range st.kinds {
			for i := range list {
				r, p := &list[i], &b.probes[i]
				if r.Of != of || v.probes[i] != v.probes[i] || r.Of == "part mass" && v.probes[i] < 0.01*total || r.Of == "wheelbase" && r.Side == "" {
					continue
				}
				s.Count++
				row := Row{Number: s.Count, Name: strings.TrimSpace(strings.Join([]string{r.Of, r.At, r.Side}, " ")), What: finding.Sentence(p.text), Of: r.Of, At: r.At, Side: r.Side,
					Unit: p.dim.Shown(units).Symbol, Taken: have[[3]string{r.Of, r.At, r.Side}]}
				if r.Angle != nil {
					row.Tip = quantity.DimAngle.FormatDigits(float64(*r.Angle), units, 0)
				}
				if r.Load != nil {
					row.Load = quantity.DimMass.Format(float64(*r.Load), units)
				}
				if r.Volts != nil {
					row.Volts = quantity.Voltage(0).Dimension().FormatDigits(float64(*r.Volts), units, 1)
				}
				out.Rows = append(out.Rows, row)
			}
		}
		if len(out.Rows) > 0 {
			s.Stages = append(s.Stages, out)
		}
	}
	if s.Count == 0 {
		s.Findings = append(s.Findings, finding.New(finding.Note, "bench/nothing-to-measure", "The document has nothing yet that could be measured: no weights, links, shocks or tyres."))
	}
	return s
}

const sheetNote = "Common practice and estimates, for a hobby model; no vehicle that carries people. Local rules for batteries come first. Write down what you read, not what you expected."

// CSV is the sheet as a table with an empty column for the readings, to fill in and read back (ReadTable).
func (s *Sheet) CSV() []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Write(Columns)
	for _, st := range s.Stages {
		for i := range st.Rows {
			r := &st.Rows[i]
			w.Write([]string{r.Name, r.Of, r.At, r.Side, "", "", r.Tip, "", r.Load, r.Volts, "", "", r.What + ", " + r.Unit})
		}
	}
	w.Flush()
	return b.Bytes()
}

// Markdown is the sheet to read on a screen.
func (s *Sheet) Markdown() string {
	var b strings.Builder
	text := strings.NewReplacer("\n", " ", "<", "&lt;", "*", "\\*", "_", "\\_", "`", "\\`", "[", "\\[", "|", "\\|")
	fmt.Fprintf(&b, "# %s: bench sheet\n", text.Replace(s.Name))
	for _, st := range s.Stages {
		fmt.Fprintf(&b, "\n## %s\n\n", st.Title)
		for _, c := range st.Care {
			fmt.Fprintf(&b, "**Take care:** %s.\n\n", c)
		}
		for _, d := range st.Do {
			fmt.Fprintf(&b, "%s\n\n", d)
		}
		b.WriteString("| | what | read | unit |\n| ---: | --- | --- | --- |\n")
		for i := range st.Rows {
			r := &st.Rows[i]
			fmt.Fprintf(&b, "| %d | %s | | %s |\n", r.Number, text.Replace(r.What), r.Unit)
		}
	}
	fmt.Fprintf(&b, "\n%s\n", sheetNote)
	return b.String()
}
