package search

import (
	"context"
	"errors"

	"lowslung/rig"
)

// Run answers the question for a build whose document has a search: section. The error is one of use (rig.Diagnostics when it has a place
// in the document), or the context's; a search that finds nothing is an answer.
func Run(ctx context.Context, b *rig.Build, o Options) (Answer, error) {
	if b.Doc.Search == nil {
		return Answer{}, errors.New("found no search section in the document, expected search: with what may change")
	}
	return Answer{}, errors.New("search does not go through anything yet")
}
