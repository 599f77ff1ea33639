package server

import (
	"context"
	"fmt"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/channel"
	"lowslung/ride"
	"lowslung/solid"
	"lowslung/travel"
)

func (s *Server) routeLengths(api huma.API) {
	huma.Register(api, operation("lengths", http.MethodGet, "/api/rigs/{id}/lengths",
		"Link lengths for a wish, and what one turn of each rod end does: the options are those of travel --solve"), s.lengths)
}

type lengthsIn struct {
	RigID
	Axle      string   `query:"axle" enum:"front,rear" required:"true" doc:"Axle whose links change"`
	Wheelbase string   `query:"wheelbase" maxLength:"40" doc:"Wished wheelbase with its unit, mm without; free when left out" example:"312 mm"`
	Pinion    string   `query:"pinion" maxLength:"40" doc:"Wished pinion angle at ride height, degrees, positive up; free when left out" example:"6"`
	Links     []string `query:"link,explode" maxItems:"20" doc:"Link that may change, with its twin; may be repeated; all of the axle's when left out"`
}

// Lengths answers a wish, and says what one turn of each rod end of the axle does.
type Lengths struct {
	Wish  *travel.Wish  `json:"wish" doc:"Lengths that put the axle where it is wished; null without a wish"`
	Turns []travel.Turn `json:"turns" nullable:"false" doc:"One for each link of the axle"`
}

type lengthsOut struct{ Body Lengths }

func (s *Server) lengths(ctx context.Context, in *lengthsIn) (*lengthsOut, error) {
	o := travel.WishOptions{Axle: in.Axle, Links: in.Links}
	for _, w := range []struct {
		text, key, channel string
		into               **float64
	}{{in.Wheelbase, "wheelbase", "wheelbase", &o.Wheelbase}, {in.Pinion, "pinion", in.Axle + " pinion angle", &o.Pinion}} {
		if w.text == "" {
			continue
		}
		v, err := channel.Must(w.channel).Dim.Parse(w.text)
		if err != nil {
			return nil, misuse("query."+w.key, fmt.Errorf("%s: %w", w.key, err))
		}
		*w.into = &v
	}
	l, err := s.load(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	out := &lengthsOut{}
	o.Settle = ride.Stand
	if o.Wheelbase != nil || o.Pinion != nil {
		wish, err := travel.ForWish(l.Model, o)
		if err != nil {
			return nil, misuse("query", err)
		}
		out.Body.Wish = &wish
	}
	end := solid.Front
	if in.Axle == solid.Rear.String() {
		end = solid.Rear
	}
	out.Body.Turns = travel.Turns(l.Model, []solid.End{end}, ride.Stand)
	return out, nil
}
