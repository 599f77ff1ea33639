package server

import (
	"context"

	"lowslung/quantity"
	"lowslung/rocks"
	"lowslung/solid"
)

// rocksIn are the options of the command.
type rocksIn struct {
	RigID
	InUnits
	Obstacle string `query:"obstacle" maxLength:"40" doc:"One obstacle: ledge, climb, side slope, off-camber ledge, gully, holes or boulders; all of them when left out" example:"ledge"`
	Height   string `query:"height" maxLength:"40" doc:"Height or depth of that obstacle, mm without a unit: one run; the largest that is cleared is looked for when left out" example:"60 mm"`
	Angle    string `query:"angle" maxLength:"40" doc:"Slope of that obstacle, degrees: one run" example:"35"`
	Grip     string `query:"grip" maxLength:"40" doc:"Coefficient of friction of the tyres on rock, an assumption: that of the document when left out" example:"0.8"`
	Speed    string `query:"speed" maxLength:"40" doc:"Speed that the driver holds, m/s without a unit; 0.3 when left out" example:"0.3"`
	Throttle string `query:"throttle" maxLength:"40" doc:"The most the driver gives; full when left out" example:"60 %"`
	Seed     uint64 `query:"seed" doc:"Another field of boulders for every number"`
	Against  string `query:"against" maxLength:"20" doc:"Number of another build, driven over the same rock"`
	Frames   bool   `query:"frames" doc:"The run instant by instant, and the rock, for drawing"`
}

type rocksOut struct{ Body rocks.Answer }

func (in *rocksIn) options(units quantity.System) (rocks.Options, error) {
	o, err := rocks.ParseOptions(in.Obstacle, in.Height, in.Angle, in.Grip, in.Speed, in.Throttle, units)
	o.Seed, o.Frames = in.Seed, in.Frames
	return o, err
}

func (s *Server) rocks(ctx context.Context, in *rocksIn) (*rocksOut, error) {
	o, err := in.options(s.system(in.InUnits))
	if err != nil {
		return nil, misuse("query", err)
	}
	return s.climb(ctx, in.ID, in.Against, o, "query")
}

type rocksMapIn struct {
	RigID
	InUnits
	Body struct {
		Map      string `json:"map" maxLength:"4000000" doc:"Heights as text: a line \"cell 20 mm\", then a line of heights for each step the way the rig goes, from left to right"`
		Grip     string `json:"grip,omitempty" maxLength:"40" doc:"Coefficient of friction of the tyres on rock, an assumption"`
		Speed    string `json:"speed,omitempty" maxLength:"40" doc:"Speed that the driver holds, m/s without a unit"`
		Throttle string `json:"throttle,omitempty" maxLength:"40" doc:"The most the driver gives"`
		Against  string `json:"against,omitempty" maxLength:"20" doc:"Number of another build, driven over the same map"`
		Frames   bool   `json:"frames,omitempty" doc:"The run instant by instant, and the rock, for drawing"`
	}
}

func (s *Server) rocksMap(ctx context.Context, in *rocksMapIn) (*rocksOut, error) {
	o, err := rocks.ParseOptions("", "", "", in.Body.Grip, in.Body.Speed, in.Body.Throttle, s.system(in.InUnits))
	if err != nil {
		return nil, misuse("body", err)
	}
	if o.Map, err = rocks.ParseMap(in.Body.Map); err != nil {
		return nil, misuse("body.map", err)
	}
	o.Frames = in.Body.Frames
	return s.climb(ctx, in.ID, in.Body.Against, o, "body")
}

// climb lets one search at a time look for what is cleared: it keeps every processor busy for seconds, and two at once would only be slower each. One run
// is done in a moment and does not wait.
func (s *Server) climb(ctx context.Context, id, against string, o rocks.Options, where string) (*rocksOut, error) {
	l, err := s.load(ctx, id)
	if err != nil {
		return nil, err
	}
	if o.Against, err = s.beside(ctx, against); err != nil {
		return nil, err
	}
	if o.Map == nil && o.Size == 0 {
		select {
		case s.climbing <- struct{}{}:
			defer func() { <-s.climbing }()
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	a, err := rocks.Assess(l.Model, o)
	if err != nil {
		return nil, misuse(where, err)
	}
	return &rocksOut{a}, nil
}

// beside is the model of another rig; nil when none is asked for.
func (s *Server) beside(ctx context.Context, id string) (*solid.Model, error) {
	if id == "" {
		return nil, nil
	}
	other, err := s.load(ctx, id)
	if err != nil {
		return nil, err
	}
	return other.Model, nil
}
