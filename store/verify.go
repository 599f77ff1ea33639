package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"lowslung/rig"
)

// A Report is what Verify found.
type Report struct {
	Documents int // present ones and removed ones
	Revisions int
	Texts     int
	Problems  []Problem
}

// A Problem is one thing that is not as it must be.
type Problem struct {
	File     string // document; "" for the file as a whole
	Revision int    // 0 for the document as a whole
	Text     string
}

// Verify checks the whole workshop: that SQLite finds its file sound, that each text still has the hash it was stored under,
// that the revisions of each document are complete, and that every revision loads and resolves with the texts of its bases
// and bins at the time. Others may go on working.
func (s *Store) Verify(ctx context.Context) (r Report, err error) {
	if r.Problems, err = integrity(ctx, s.db); err != nil {
		return r, fault(s.path, err)
	}
	err = s.Look(ctx, func(v Snapshot) error {
		for _, step := range []func(*Report) error{v.verifyTexts, v.verifyChains, v.verifyRevisions, v.verifyItems} {
			if err := step(&r); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil && CodeOf(err) == Damaged {
		r.Problems = append(r.Problems, Problem{Text: "the file cannot be read any further: it is damaged"})
		err = nil
	}
	return r, err
}

// integrity asks SQLite whether the file is sound and whether every reference leads somewhere.
func integrity(ctx context.Context, db *sql.DB) (list []Problem, err error) {
	for _, pragma := range []string{"integrity_check", "foreign_key_check"} {
		rows, err := db.QueryContext(ctx, "PRAGMA "+pragma)
		if err != nil {
			return list, err
		}
		columns, err := rows.Columns()
		if err != nil {
			rows.Close()
			return list, err
		}
		row := make([]any, len(columns))
		for i := range row {
			row[i] = new(any)
		}
		for rows.Next() {
			if err := rows.Scan(row...); err != nil {
				rows.Close()
				return list, err
			}
			text := fmt.Sprint(*row[0].(*any))
			if pragma == "foreign_key_check" {
				text = fmt.Sprintf("a row of table %s refers to nothing in table %v", text, *row[2].(*any))
			}
			if text != "ok" {
				list = append(list, Problem{Text: "SQLite: " + text})
			}
		}
		err = rows.Err()
		rows.Close()
		if err != nil {
			return list, err
		}
	}
	return list, nil
}

func (v Snapshot) verifyTexts(r *Report) error {
	rows, err := v.tx.QueryContext(v.ctx, `SELECT hash, body FROM text`)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var hash Hash
		var body []byte
		if err := rows.Scan(&hash, &body); err != nil {
			return err
		}
		r.Texts++
		if HashOf(body) != hash {
			r.Problems = append(r.Problems, Problem{Text: "the text stored as " + hash.String()[:8] + "… is no longer what was saved"})
		}
	}
	return rows.Err()
}

// verifyChains looks for revisions that are missing and for undo chains that lead nowhere.
func (v Snapshot) verifyChains(r *Report) error {
	for _, q := range []struct{ query, text string }{
		{`SELECT d.file, d.head FROM document d WHERE d.head IS NOT (SELECT max(number) FROM revision WHERE document = d.id)`,
			"the present revision is not the last one"},
		{`SELECT d.file, r.number FROM document d JOIN revision r ON r.document = d.id WHERE r.number > 1
			AND NOT EXISTS (SELECT 1 FROM revision p WHERE p.document = d.id AND p.number = r.number - 1)`,
			"the revision before this one is missing"},
		{`SELECT d.file, r.number FROM document d JOIN revision r ON r.document = d.id
			LEFT JOIN revision s ON s.document = d.id AND s.number = r.stands_at WHERE s.hash IS NOT r.hash OR s.stands_at IS NOT s.number`,
			"the revision whose text this one took up has another text"},
		{`SELECT d.file, r.number FROM document d JOIN revision r ON r.document = d.id
			LEFT JOIN revision p ON p.document = d.id AND p.number = r.parent
			WHERE r.parent IS NOT NULL AND (p.number IS NULL OR p.number >= r.number OR p.stands_at <> p.number)`,
			"the revision that this one was made from is missing"},
	} {
		rows, err := v.tx.QueryContext(v.ctx, q.query)
		if err != nil {
			return err
		}
		for rows.Next() {
			p := Problem{Text: q.text}
			if err := rows.Scan(&p.File, &p.Revision); err != nil {
				rows.Close()
				return err
			}
			r.Problems = append(r.Problems, p)
		}
		err = rows.Err()
		rows.Close()
		if err != nil {
			return err
		}
	}
	return v.tx.QueryRowContext(v.ctx, `SELECT count(*) FROM document`).Scan(&r.Documents)
}

// verifyItems holds the tables of items against the texts of the bins.
func (v Snapshot) verifyItems(r *Report) error {
	bins, err := v.Documents(Bin)
	if err != nil {
		return err
	}
	for _, d := range bins {
		full, err := v.Document(d.ID)
		if CodeOf(err) == NotFound {
			continue // its text is gone, which has been told
		}
		if err != nil {
			return err
		}
		b, err := v.kept.memory.LoadBin(d.File, full.Text)
		if err != nil {
			continue // told of its revision
		}
		want := map[string]string{}
		for i := range b.Items {
			want[b.Items[i].Name] = b.Line(i)
		}
		have, words := 0, 0
		rows, err := v.tx.QueryContext(v.ctx, `SELECT i.name, i.line FROM item i WHERE i.document = ?`, d.ID)
		if err != nil {
			return err
		}
		same := true
		for rows.Next() {
			var name, line string
			if err := rows.Scan(&name, &line); err != nil {
				rows.Close()
				return err
			}
			have++
			same = same && want[name] == line
		}
		if err := rows.Err(); err != nil {
			return err
		}
		rows.Close()
		if err := v.tx.QueryRowContext(v.ctx, `SELECT count(*) FROM item_words w WHERE item_words MATCH ?`, `marks:"`+binMark(d.ID)+`"`).Scan(&words); err != nil {
			return err
		}
		if !same || have != len(want) || words != len(want) {
			r.Problems = append(r.Problems, Problem{File: d.File, Text: "what is found of its items is not what its text says; have the tables of items made anew: lowslung bin reindex"})
		}
	}
	return nil
}

// An errand is one revision to load.
type errand struct {
	id     int64
	file   string
	number int
	hash   Hash
	with   []readWith
}

// verifyRevisions loads every revision with the texts of its time. Revisions with the same texts are loaded once.
func (v Snapshot) verifyRevisions(r *Report) error {
	list, err := v.errands()
	if err != nil {
		return err
	}
	r.Revisions = len(list)
	type job struct {
		errand
		shelf *shelf
	}
	jobs := make(chan job)
	var wg sync.WaitGroup
	var mu sync.Mutex
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for j := range jobs {
				if text := j.shelf.problem(j.file); text != "" {
					mu.Lock()
					r.Problems = append(r.Problems, Problem{j.file, j.number, text})
					mu.Unlock()
				}
			}
		})
	}
	seen := map[string]bool{}
	texts := map[Hash][]byte{}
	for _, e := range list {
		key := fmt.Sprint(e.file, e.hash, e.with)
		if !seen[key] {
			seen[key] = true
			s := &shelf{changes: map[string][]byte{}, memory: &v.kept.memory}
			for _, w := range append([]readWith{{e.file, e.hash}}, e.with...) {
				if s.changes[w.file], err = v.text(texts, w.hash); err != nil {
					break
				}
			}
			if err != nil {
				break
			}
			jobs <- job{e, s}
		}
		if err = v.ctx.Err(); err != nil {
			break
		}
	}
	close(jobs)
	wg.Wait()
	slices.SortStableFunc(r.Problems, func(a, b Problem) int {
		if a.File != b.File {
			return cmpText(a.File, b.File)
		}
		return a.Revision - b.Revision
	})
	return err
}

func cmpText(a, b string) int {
	if a < b {
		return -1
	}
	return 1
}

// problem says why a document does not load from the shelf; "" when it does.
func (s *shelf) problem(file string) string {
	_, err := s.load(file)
	var d rig.Diagnostics
	switch {
	case err == nil:
		return ""
	case errors.As(err, &d) && len(d) > 0:
		return "does not load: " + d[0].String()
	}
	return "does not load: " + err.Error()
}

// text is the text of a hash; a few are kept, since revisions share their bases and bins.
func (v Snapshot) text(kept map[Hash][]byte, hash Hash) ([]byte, error) {
	if body, ok := kept[hash]; ok {
		return body, nil
	}
	var body []byte
	err := v.tx.QueryRowContext(v.ctx, `SELECT body FROM text WHERE hash = ?`, hash[:]).Scan(&body)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil // integrity has reported it
	}
	if len(kept) >= 64 {
		clear(kept)
	}
	kept[hash] = body
	return body, err
}

func (v Snapshot) errands() (list []errand, err error) {
	rows, err := v.tx.QueryContext(v.ctx, `SELECT r.id, d.file, r.number, r.hash FROM revision r JOIN document d ON d.id = r.document ORDER BY d.id, r.number`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	at := map[int64]int{}
	for rows.Next() {
		var e errand
		if err := rows.Scan(&e.id, &e.file, &e.number, &e.hash); err != nil {
			return nil, err
		}
		at[e.id] = len(list)
		list = append(list, e)
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	with, err := v.tx.QueryContext(v.ctx, `SELECT revision, file, hash FROM read_with ORDER BY revision, file`)
	if err != nil {
		return nil, err
	}
	defer with.Close()
	for with.Next() {
		var id int64
		var w readWith
		if err := with.Scan(&id, &w.file, &w.hash); err != nil {
			return nil, err
		}
		if i, ok := at[id]; ok {
			list[i].with = append(list[i].with, w)
		}
	}
	return list, with.Err()
}
