package server

import (
	"context"
	"fmt"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/balance"
	"lowslung/channel"
	"lowslung/check"
	"lowslung/compare"
	"lowslung/drive"
	"lowslung/finding"
	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/ride"
	"lowslung/rocks"
	"lowslung/solid"
	"lowslung/steer"
	"lowslung/store"
	"lowslung/travel"
)

// maxPoses is the largest grid that is answered: heaves times rolls.
const maxPoses = 20_000

func (s *Server) routeQuestions(api huma.API) {
	huma.Register(api, operation("travel", http.MethodGet, "/api/rigs/{id}/travel", "What the axles do: the options are those of the command"), s.travel)
	huma.Register(api, operation("mates", http.MethodGet, "/api/rigs/{id}/mates", "Whether everything goes together, and what is missing"), s.mates)
	huma.Register(api, operation("steer", http.MethodGet, "/api/rigs/{id}/steer", "What the front wheels do: the options are those of the command"), s.steer)
	huma.Register(api, operation("balance", http.MethodGet, "/api/rigs/{id}/balance", "Where the weight sits, and when the rig tips"), s.balance)
	huma.Register(api, operation("ride", http.MethodGet, "/api/rigs/{id}/ride", "How it sits, flexes and tips on its springs and tyres: the options are those of the command"), s.ride)
	huma.Register(api, operation("drive", http.MethodGet, "/api/rigs/{id}/drive", "What motor, gears and battery deliver: the options are those of the command"), s.drive)
	huma.Register(api, operation("search-bands", http.MethodGet, "/api/rigs/{id}/search/bands", "How far the numbers spread when things are a little off, and what to measure better"), s.bands)
	huma.Register(api, operation("rocks", http.MethodGet, "/api/rigs/{id}/rocks", "What it climbs: the options are those of the command"), s.rocks)
	huma.Register(api, operation("rocks-map", http.MethodPost, "/api/rigs/{id}/rocks/map", "A run over a map of heights; nothing is stored"), s.rocksMap)
	huma.Register(api, operation("check", http.MethodGet, "/api/rigs/{id}/check", "Every question at once, with what the builder should know first"), s.check)
	huma.Register(api, operation("compare", http.MethodGet, "/api/compare", "What the change did: builds side by side, the first is what the others are held against"), s.compare)
	huma.Register(api, operation("list-channels", http.MethodGet, "/api/channels", "The catalogue of numbers that answers hold"), s.channels)
}

// InUnits is the query parameter of every answer with sentences in it.
type InUnits struct {
	Units string `query:"units" enum:"metric,us" doc:"Units of sentences and of shown numbers; the server's own when left out"`
}

// system is the unit system asked for.
func (s *Server) system(in InUnits) quantity.System {
	if in.Units == "" {
		return s.units
	}
	u, _ := quantity.ParseSystem(in.Units) // the enum has been checked
	return u
}

type travelIn struct {
	RigID
	InUnits
	Axle  string `query:"axle" enum:"front,rear" doc:"One axle; both when left out"`
	Heave string `query:"heave" maxLength:"100" doc:"from:to:step in mm against the design pose; -25:25:5 when left out" example:"-25:25:5"`
	Roll  string `query:"roll" maxLength:"100" doc:"from:to:step in degrees; -15:15:5 when left out" example:"-15:15:5"`
}

type travelOut struct{ Body travel.Answer }

func (s *Server) travel(ctx context.Context, in *travelIn) (*travelOut, error) {
	o, err := travel.ParseOptions(in.Axle, in.Heave, in.Roll, s.system(in.InUnits))
	if err != nil {
		return nil, misuse("query", err)
	}
	if n := points(o.Heave) * points(o.Roll); n > maxPoses {
		return nil, misuse("query", fmt.Errorf("found a grid of %d poses, expected at most %d; take larger steps", n, maxPoses))
	}
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	a, err := travel.Assess(l.Model, o)
	if err != nil {
		return nil, misuse("query", err)
	}
	return &travelOut{a}, nil
}

// points is the number of values of a span; the zero span is the usual one, which is small.
func points(sp travel.Span) int {
	if sp == (travel.Span{}) {
		return 1
	}
	return len(sp.Values())
}

type steerIn struct {
	RigID
	InUnits
	Servo string `query:"servo" maxLength:"100" doc:"from:to:step in degrees from the servo's middle; its travel in steps of 5 when left out"`
	Heave string `query:"heave" maxLength:"100" doc:"from:to:step in mm against the design pose; -25:25:5 when left out"`
	Roll  string `query:"roll" maxLength:"100" doc:"from:to:step in degrees; -15:15:5 when left out"`
}

type steerOut struct{ Body steer.Answer }

func (s *Server) steer(ctx context.Context, in *steerIn) (*steerOut, error) {
	o, err := steer.ParseOptions(in.Servo, in.Heave, in.Roll, s.system(in.InUnits))
	if err != nil {
		return nil, misuse("query", err)
	}
	if n := points(o.Heave) * points(o.Roll); n > maxPoses {
		return nil, misuse("query", fmt.Errorf("found a grid of %d poses, expected at most %d; take larger steps", n, maxPoses))
	}
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	a, err := steer.Assess(l.Model, o)
	if err != nil {
		return nil, misuse("query", err)
	}
	return &steerOut{a}, nil
}

type matesIn struct {
	RigID
	InUnits
	Against string `query:"against" maxLength:"20" doc:"Number of the build as it was, for what is reused and left over; the rig's own base when left out"`
}

type matesOut struct{ Body mates.Answer }

func (s *Server) mates(ctx context.Context, in *matesIn) (*matesOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	base, err := s.against(ctx, l, in.Against)
	if err != nil {
		return nil, err
	}
	o := mates.Options{Against: base, Units: s.system(in.InUnits)}
	a, err := mates.Assess(l.Model, o)
	if err != nil {
		return nil, misuse("query", err)
	}
	return &matesOut{a}, nil
}

// against is the build as it was: the one asked for, or the rig's own base; nil when it has none.
func (s *Server) against(ctx context.Context, l *asked, id string) (*solid.Model, error) {
	base := l.Build.Doc.Base
	if id != "" {
		other, err := s.load(ctx, id)
		if err != nil {
			return nil, err
		}
		return other.Model, nil
	}
	if base == "" {
		return nil, nil
	}
	var model *solid.Model
	err := s.store.Look(ctx, func(v store.Snapshot) error {
		other, err := v.Load(store.Beside(l.Build.File, base))
		if err == nil {
			model = other.Model
		}
		return err
	})
	return model, s.wrong(ctx, err)
}

type balanceIn struct {
	RigID
	InUnits
	Move []string `query:"move,explode" maxItems:"100" doc:"What if a part sat elsewhere: part:forward,left,up in mm or with units, or part:mass:forward,left,up; may be repeated" example:"battery:20,0,-12"`
}

type balanceOut struct{ Body balance.Answer }

func (s *Server) balance(ctx context.Context, in *balanceIn) (*balanceOut, error) {
	moves, err := balance.ParseMoves(in.Move)
	if err != nil {
		return nil, misuse("query.move", err)
	}
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	m := l.Model
	if len(moves) > 0 { // it stands otherwise with its weight elsewhere
		moved, err := balance.Moved(m, moves)
		if err != nil {
			return nil, misuse("query.move", err)
		}
		m = ride.Stand(moved)
	}
	a, err := balance.Assess(m, balance.Options{Units: s.system(in.InUnits)})
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return &balanceOut{a}, nil
}

// Number is one number of the catalogue, in the unit a person reads it in.
type Number struct {
	Name  string  `json:"name" doc:"Name in the catalogue"`
	Word  string  `json:"word" doc:"Question that answers it"`
	Value float64 `json:"value" doc:"In unit"`
	Unit  string  `json:"unit" doc:"Follows the units asked for"`
	Text  string  `json:"text" doc:"Value with its unit, as a person reads it"`
}

type checkOut struct {
	Body struct {
		Answers struct {
			Mates   mates.Answer   `json:"mates" doc:"Answer of mates"`
			Travel  travel.Answer  `json:"travel" doc:"Answer of travel"`
			Steer   steer.Answer   `json:"steer" doc:"Answer of steer"`
			Balance balance.Answer `json:"balance" doc:"Answer of balance"`
			Ride    ride.Answer    `json:"ride" doc:"Answer of ride: how it stands and where it tips, and what a target names"`
			Drive   drive.Answer   `json:"drive" doc:"Answer of drive"`
			Rocks   *rocks.Answer  `json:"rocks" doc:"Answer of rocks for what a target names; null when none does"`
		} `json:"answers" doc:"The answer of each question"`
		Findings []finding.Finding `json:"findings" nullable:"false" doc:"Of all questions, most urgent first"`
		Numbers  []Number          `json:"numbers" nullable:"false" doc:"Every number of the catalogue that this rig has"`
		Words    []check.Word      `json:"words" nullable:"false" doc:"Each question with its most urgent finding"`
	}
}

func (s *Server) check(ctx context.Context, in *struct {
	RigID
	InUnits
}) (*checkOut, error) {
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	units := s.system(in.InUnits)
	a, err := l.answer(units)
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	out := &checkOut{}
	b := &out.Body
	b.Answers.Mates, b.Answers.Travel, b.Answers.Steer, b.Answers.Balance, b.Answers.Ride, b.Answers.Drive, b.Answers.Rocks = a.Mates, a.Travel, a.Steer, a.Balance, a.Ride, a.Drive, a.Rocks
	b.Findings, b.Words = a.Findings, a.Words
	b.Numbers = []Number{}
	for _, v := range a.Numbers() {
		unit := v.Channel.Dim.Shown(units).Symbol
		b.Numbers = append(b.Numbers, Number{Name: v.Channel.Name, Word: v.Channel.Word, Value: v.Channel.Dim.In(v.Value, unit), Unit: unit, Text: v.Channel.Format(v.Value, units)})
	}
	return out, nil
}

type compareIn struct {
	InUnits
	Rocks bool     `query:"rocks" doc:"With what each build climbs, which takes seconds for each"`
	Rig   []string `query:"rig,explode" minItems:"2" maxItems:"6" required:"true" doc:"Numbers of the rigs; repeat it"`
}

type compareOut struct{ Body compare.Answer }

func (s *Server) compare(ctx context.Context, in *compareIn) (*compareOut, error) {
	var builds []compare.Build
	for _, id := range in.Rig {
		l, err := s.load(ctx, id)
		if err != nil {
			return nil, err
		}
		name := l.Model.Name
		if name == "" {
			name = l.Build.File
		}
		builds = append(builds, compare.Build{Name: name, Tree: l.Build.Tree, Model: l.Model})
	}
	a, err := compare.Assess(builds, compare.Options{Rocks: in.Rocks, Units: s.system(in.InUnits)})
	if err != nil {
		return nil, misuse("query.rig", err)
	}
	return &compareOut{a}, nil
}

// Channel is one number of the catalogue.
type Channel struct {
	Name   string `json:"name" doc:"What targets, comparisons and tables call it"`
	Word   string `json:"word" doc:"Question that answers it"`
	Symbol string `json:"symbol" doc:"Handbook symbol; empty when there is none"`
	Unit   string `json:"unit" doc:"Metric unit"`
	UnitUS string `json:"unit_us" doc:"US customary unit"`
	Digits int    `json:"digits" doc:"Behind the point, in the metric unit"`
	Doc    string `json:"doc" doc:"What it is"`
	Sense  string `json:"sense" enum:"higher,lower," doc:"Which way is usually wanted; empty where the trade has no view"`
}

type channelsOut struct {
	Body struct {
		Channels []Channel `json:"channels" nullable:"false" doc:"In the order of the job"`
	}
}

func (s *Server) channels(context.Context, *struct{}) (*channelsOut, error) {
	out := &channelsOut{}
	out.Body.Channels = []Channel{}
	for _, c := range channel.All() {
		sense := map[channel.Sense]string{channel.Higher: "higher", channel.Lower: "lower"}[c.Sense]
		out.Body.Channels = append(out.Body.Channels, Channel{Name: c.Name, Word: c.Word, Symbol: c.Symbol,
			Unit: c.Dim.Metric.Symbol, UnitUS: c.Dim.US.Symbol, Digits: c.Digits, Doc: c.Doc, Sense: sense})
	}
	return out, nil
}
