package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"hash/fnv"
	"strconv"
	"strings"

	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/rig"
)

// The tables item, item_words and item_port hold the items of the present bins. They are kept in step by the transaction that changes a
// bin, and made anew at Open when they are not: by an earlier version of the program, or by another way of making them.

// itemRules counts up when rows are to be made in another way from the same texts: other words, other keys of ports.
const itemRules = 2

// reindex makes the rows of every bin that has none, or those of another text.
func (s *Store) reindex(ctx context.Context) error {
	var stale int
	if err := s.db.QueryRowContext(ctx, `SELECT count(*)`+staleBins, itemRules).Scan(&stale); err != nil || stale == 0 {
		return err
	}
	return s.change(ctx, func(v Snapshot) error {
		rows, err := v.tx.QueryContext(v.ctx, `SELECT d.id, d.file`+staleBins, itemRules)
		if err != nil {
			return err
		}
		defer rows.Close()
		var list []Document
		for rows.Next() {
			var d Document
			if err := rows.Scan(&d.ID, &d.File); err != nil {
				return err
			}
			list = append(list, d)
		}
		if err := rows.Err(); err != nil {
			return err
		}
		for _, d := range list {
			full, err := v.Document(d.ID)
			if err != nil {
				return err
			}
			b, err := v.kept.memory.LoadBin(d.File, full.Text)
			var bad rig.Diagnostics
			if errors.As(err, &bad) { // an earlier version of the program took it; it has no items until it is mended
				b, err = nil, nil
			}
			if err != nil {
				return err
			}
			if err := v.index(full, b); err != nil {
				return err
			}
		}
		return nil
	})
}

const staleBins = documentTables + ` LEFT JOIN item_index x ON x.document = d.id
	WHERE d.kind = 'bin' AND d.removed_at IS NULL AND (x.hash IS NOT r.hash OR x.made IS NOT ?1)`

// indexed puts the items of a document that has just been written in step with it. For a rig there is nothing to do.
func (v Snapshot) indexed(id int64) error {
	d, err := v.Document(id)
	if err != nil || d.Kind != Bin {
		return err
	}
	if b := v.bins[d.File]; b != nil {
		return v.index(d, b)
	}
	b, err := v.kept.memory.LoadBin(d.File, d.Text)
	var bad rig.Diagnostics
	if errors.As(err, &bad) {
		b, err = nil, nil
	}
	if err != nil {
		return err
	}
	return v.index(d, b)
}

// unindexed takes the items of a document out.
func (v Snapshot) unindexed(id int64) error {
	for _, q := range []string{
		`DELETE FROM item_words WHERE rowid IN (SELECT id FROM item WHERE document = ?)`, `DELETE FROM item WHERE document = ?`, `DELETE FROM item_index WHERE document = ?`,
	} {
		if _, err := v.tx.ExecContext(v.ctx, q, id); err != nil {
			return err
		}
	}
	return nil
}

// indexer holds the statements of one bin.
type indexer struct {
	v   Snapshot
	doc Document

	insert, update, forget, words, unword, port, unport *sql.Stmt
}

// index makes the rows of the bin those of b: what has not changed is left alone. b is nil for a text that does not load.
func (v Snapshot) index(d Document, b *rig.BinBuild) (err error) {
	ix := indexer{v: v, doc: d}
	for _, p := range []struct {
		to  **sql.Stmt
		sql string
	}{
		{&ix.insert, `INSERT INTO item (document, place, name, title, kind, mass, weighed, price, currency, source, have, notes, line, mark) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`},
		{&ix.update, `UPDATE item SET place = ?, title = ?, kind = ?, mass = ?, weighed = ?, price = ?, currency = ?, source = ?, have = ?, notes = ?, line = ?, mark = ? WHERE id = ?`},
		{&ix.forget, `DELETE FROM item WHERE id = ?`},
		{&ix.words, `INSERT INTO item_words (rowid, words, marks) VALUES (?, ?, ?)`},
		{&ix.unword, `DELETE FROM item_words WHERE rowid = ?`},
		{&ix.port, `INSERT INTO item_port (item, kind, size, stock, port) VALUES (?, ?, ?, ?, ?)`},
		{&ix.unport, `DELETE FROM item_port WHERE item = ?`},
	} {
		if *p.to, err = v.tx.PrepareContext(v.ctx, p.sql); err != nil {
			return err
		}
		defer (*p.to).Close()
	}
	if only, is := v.only[d.File]; is && b != nil {
		if done, err := ix.some(b, only); done || err != nil {
			return err
		}
	}
	have, err := ix.present()
	if err != nil {
		return err
	}
	if b != nil {
		for i, line := range b.Lines() {
			if err := ix.item(have, i, b.Items[i].Name, &b.Items[i].Value, line); err != nil {
				return err
			}
			if v.progress != nil && (i+1)%1000 == 0 {
				v.progress(i+1, len(b.Items))
			}
		}
	}
	for _, h := range have {
		if err := ix.gone(h.id); err != nil {
			return err
		}
	}
	return ix.made()
}

// made writes down which text the rows are from.
func (ix *indexer) made() error {
	_, err := ix.v.tx.ExecContext(ix.v.ctx, `INSERT INTO item_index (document, hash, made) VALUES (?1, ?2, ?3) ON CONFLICT (document) DO UPDATE SET hash = ?2, made = ?3`,
		ix.doc.ID, ix.doc.Hash[:], itemRules)
	return err
}

// some writes the rows of a few items anew, in a bin whose other rows are in step; done is false when they are not.
func (ix *indexer) some(b *rig.BinBuild, only weighed) (done bool, err error) {
	var in bool
	err = ix.v.tx.QueryRowContext(ix.v.ctx, `SELECT hash = ? AND made = ? FROM item_index WHERE document = ?`, only.from[:], itemRules, ix.doc.ID).Scan(&in)
	if errors.Is(err, sql.ErrNoRows) || err == nil && !in {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	for _, s := range only.list {
		i, there := b.At(s.Item)
		if !there {
			return false, nil
		}
		var r indexedRow
		if err := ix.v.tx.QueryRowContext(ix.v.ctx, `SELECT id, mark, place FROM item WHERE document = ? AND name = ?`, ix.doc.ID, s.Item).Scan(&r.id, &r.mark, &r.place); err != nil {
			return false, err
		}
		if err := ix.item(map[string]indexedRow{s.Item: r}, i, s.Item, &b.Items[i].Value, b.Line(i)); err != nil {
			return false, err
		}
	}
	return true, ix.made()
}

type indexedRow struct {
	id    int64
	mark  int64
	place int
}

// present are the rows that the bin has, by name. Those of other rules count as another text.
func (ix *indexer) present() (map[string]indexedRow, error) {
	var made int
	err := ix.v.tx.QueryRowContext(ix.v.ctx, `SELECT made FROM item_index WHERE document = ?`, ix.doc.ID).Scan(&made)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return nil, err
	}
	if made != itemRules {
		return nil, ix.v.unindexed(ix.doc.ID)
	}
	rows, err := ix.v.tx.QueryContext(ix.v.ctx, `SELECT id, name, mark, place FROM item WHERE document = ?`, ix.doc.ID)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	have := map[string]indexedRow{}
	for rows.Next() {
		var r indexedRow
		var name string
		if err := rows.Scan(&r.id, &name, &r.mark, &r.place); err != nil {
			return nil, err
		}
		have[name] = r
	}
	return have, rows.Err()
}

// item writes the rows of one item, and takes it out of those to be forgotten.
func (ix *indexer) item(have map[string]indexedRow, place int, name string, p *rig.Part, line string) error {
	h := fnv.New64a()
	h.Write([]byte(line))
	mark := int64(h.Sum64())
	there, is := have[name]
	delete(have, name)
	if is && there.mark == mark && there.place == place {
		return nil
	}
	ctx := ix.v.ctx
	values := []any{place, p.Title, p.Kind, (*float64)(p.Mass), p.Weighed, p.Price, p.Money, p.From, p.Have, p.Notes, line, mark}
	id := there.id
	if is {
		if _, err := ix.update.ExecContext(ctx, append(values, id)...); err != nil {
			return err
		}
		for _, s := range []*sql.Stmt{ix.unword, ix.unport} {
			if _, err := s.ExecContext(ctx, id); err != nil {
				return err
			}
		}
	} else {
		res, err := ix.insert.ExecContext(ctx, append([]any{ix.doc.ID, place, name}, values[1:]...)...)
		if err != nil {
			return err
		}
		if id, err = res.LastInsertId(); err != nil {
			return err
		}
	}
	stock := p.Have != nil && *p.Have > 0
	if _, err := ix.words.ExecContext(ctx, id, itemWords(name, p), marksOf(p.Kind, ix.doc.ID, stock)); err != nil {
		return err
	}
	for _, port := range mates.PortsOf("", p) {
		text, err := json.Marshal(&port)
		if err != nil {
			return err
		}
		for _, k := range port.Keys() {
			if _, err := ix.port.ExecContext(ctx, id, k.Kind, k.Size, stock, string(text)); err != nil {
				return err
			}
		}
	}
	return nil
}

func (ix *indexer) gone(id int64) error {
	for _, s := range []*sql.Stmt{ix.unword, ix.unport, ix.forget} {
		if _, err := s.ExecContext(ix.v.ctx, id); err != nil {
			return err
		}
	}
	return nil
}

// Marks are words that no text has, for the filters of a search.
const inStock = "stock"

func kindMark(kind string) string { return "k." + strings.ReplaceAll(kind, " ", ".") }
func binMark(id int64) string     { return "b." + strconv.FormatInt(id, 10) }

func marksOf(kind string, document int64, stock bool) string {
	marks := kindMark(kind) + " " + binMark(document)
	if stock {
		marks += " " + inStock
	}
	return marks
}

// itemWords are the words under which an item is found: of its name, title, kind, notes, source and material, and its sizes as the trade
// writes them.
func itemWords(name string, p *rig.Part) string {
	return strings.Join(append(searchWords(strings.Join([]string{name, p.Title, p.Kind, p.From, p.Material, p.Notes}, " ")), sizeWords(p)...), " ")
}

// sizeWords are 5x11x4 for a bearing, m3 and m3x12 for a screw, 20t and 32dp or m0.5 for a gear, 3s for a pack.
func sizeWords(p *rig.Part) []string {
	num := func(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
	length := func(v *quantity.Length) string {
		if v == nil {
			return ""
		}
		return "x" + num(float64(*v))
	}
	var out []string
	if b := p.Bearing; b != nil {
		out = append(out, num(float64(b.Bore))+"x"+num(float64(b.Outer))+"x"+num(float64(b.Width)))
	}
	if s := p.Screw; s != nil {
		thread := strings.ToLower(rig.TidyThread(s.Thread))
		out = append(out, thread, thread+length(s.Length))
	}
	if g := p.Gear; g != nil {
		out = append(out, num(float64(g.Teeth))+"t")
		if g.DP != nil {
			out = append(out, num(*g.DP)+"dp")
		}
		if g.Module != nil {
			out = append(out, "m"+num(float64(*g.Module)))
		}
	}
	if r := p.Rod; r != nil {
		out = append(out, num(float64(r.Diameter))+"x"+num(float64(r.Length)))
	}
	if b := p.Pack; b != nil {
		out = append(out, num(float64(b.Cells))+"s")
	}
	if t := p.Tyre; t != nil {
		out = append(out, num(float64(t.Diameter))+"x"+num(float64(t.Width)))
	}
	for _, e := range p.Ports {
		if e.Value.Type == "pin" && e.Value.Diameter != nil {
			out = append(out, num(float64(*e.Value.Diameter))+length(e.Value.Length))
		}
	}
	return out
}
