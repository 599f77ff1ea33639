package server

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"lowslung/guide"
)

// Question is one number that the guided start asks for.
type Question struct {
	Key     string  `json:"key" doc:"Key of the answer"`
	Ask     string  `json:"ask" doc:"What is asked"`
	Help    string  `json:"help" doc:"How to measure it"`
	Unit    string  `json:"unit" doc:"Unit of a bare answer, and of the numbers here"`
	UnitUS  string  `json:"unit_us" doc:"The same for someone who measures in US customary units"`
	Least   float64 `json:"least" doc:"Smallest answer taken"`
	Most    float64 `json:"most" doc:"Largest answer taken"`
	Usual   float64 `json:"usual" doc:"About what it often is"`
	Drawing string  `json:"drawing" doc:"Which drawing shows it"`
}

type questionsOut struct {
	Body struct {
		Questions []Question `json:"questions" nullable:"false" doc:"In the order to ask them"`
	}
}

type guideIn struct {
	Body struct {
		File    string            `json:"file" doc:"Name in the workshop folder: own.rig.yaml"`
		Name    string            `json:"name,omitempty" maxLength:"200" doc:"What the builder calls the rig"`
		Answers map[string]string `json:"answers" doc:"By key, with unit or bare: 312 mm, 12.3 in"`
	}
	RawBody []byte
}

func (s *Server) routeGuide(api huma.API) {
	huma.Register(api, operation("guide", http.MethodGet, "/api/guide", "What the guided start asks"), s.questions)
	post := operation("begin-guided", http.MethodPost, "/api/guide", "Begin a rig from the answers: writes a document that passes check")
	post.DefaultStatus = http.StatusCreated
	huma.Register(api, post, s.beginGuided)
}

func (s *Server) questions(context.Context, *struct{}) (*questionsOut, error) {
	out := &questionsOut{}
	out.Body.Questions = []Question{}
	for _, q := range guide.Questions() {
		out.Body.Questions = append(out.Body.Questions, Question{Key: q.Key, Ask: q.Ask, Help: q.Help, Unit: q.Dim.Bare, UnitUS: q.Dim.US.Symbol,
			Least: q.Least, Most: q.Most, Usual: q.Usual, Drawing: q.Drawing})
	}
	return out, nil
}

func (s *Server) beginGuided(ctx context.Context, in *guideIn) (*rigOut, error) {
	if err := utf8Only(in.RawBody); err != nil {
		return nil, err
	}
	if err := rigName(in.Body.File); err != nil {
		return nil, s.wrong(ctx, err)
	}
	text, err := guide.Write(in.Body.Name, in.Body.Answers)
	if list, ok := guide.IsMistakes(err); ok {
		p := &Problem{Title: "Answers that cannot be", Status: http.StatusUnprocessableEntity, Code: "answers",
			Detail: "some answers cannot be used. Nothing was saved; look at the ones named"}
		for _, m := range list {
			at := "body.answers"
			if m.Key != "" {
				at += "." + m.Key
			}
			p.Errors = append(p.Errors, Mistake{Message: m.Text, Location: at, Code: "answer"})
		}
		return nil, p
	}
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return s.created(ctx, in.Body.File, text, "begun with the guided start")
}
