package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/mates"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/store"
)

func newBin() *cobra.Command {
	var folder string
	c := &cobra.Command{
		Use:   "bin",
		Short: "Fill the bins of the workshop from a shop's table, find things in them, and weigh them",
		Long: "Fill the bins of the workshop from a shop's table, find things in them, and weigh them. A bin holds items that parts name; how to\n" +
			"write one is in the manual. All but fits work on the workshop, which the workbench shows as well.",
		Args: cobra.NoArgs,
	}
	c.PersistentFlags().StringVar(&folder, "workshop", "", "folder that holds the workshop; the user's data folder when left out")
	c.AddCommand(newBinImport(&folder), newBinFind(&folder), newBinWeigh(&folder), newBinFits(), newBinList(&folder), newBinReindex(&folder))
	return c
}

// inWorkshop opens the workshop for one command.
func inWorkshop(c *cobra.Command, folder string, o store.Options, do func(*store.Store) error) error {
	s, err := openWorkshop(commandContext(c), folder, o)
	if err != nil {
		return told(err)
	}
	defer s.Close()
	if err := do(s); err != nil {
		return told(err)
	}
	return s.Close()
}

func newBinFind(folder *string) *cobra.Command {
	var a asked
	var q store.ItemQuery
	c := &cobra.Command{
		Use:   "find TEXT…",
		Short: "Find items by the beginnings of words: in name, title, kind, notes, source, material or size",
		Long: "Find items by the beginnings of words: in name, title, kind, notes, source, material or size (5x11x4, m3x12, 20t, 32dp, 3s). One that is\n" +
			"called just so comes first, then those in stock, then the others.",
		Args: cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			q.Text = strings.Join(args, " ")
			return inWorkshop(c, *folder, store.Options{MustExist: true}, func(s *store.Store) error {
				list, more, err := s.Items(commandContext(c), q)
				if err != nil {
					return err
				}
				if p.json {
					return p.encode(foundItems(list, more))
				}
				p.items(list)
				if more {
					p.line("there are more; say more words, or --limit")
				}
				return nil
			})
		},
	}
	a.flags(c)
	c.Flags().StringVar(&q.Kind, "kind", "", "only items of this kind: screw, bearing, gear, …")
	c.Flags().StringArrayVar(&q.Bins, "bin", nil, "only items of this bin; may be repeated")
	c.Flags().IntVar(&q.Limit, "limit", 20, "at most so many")
	c.Flags().IntVar(&q.Offset, "offset", 0, "leave out so many")
	return c
}

// foundItem is an item as JSON, with the keys that the API has.
type foundItem struct {
	Bin      string   `json:"bin" doc:"File of the bin"`
	ID       string   `json:"id" doc:"Name of the item"`
	Title    string   `json:"title" doc:"What a shop would call it"`
	Kind     string   `json:"kind" doc:"Kind of part"`
	MassG    *float64 `json:"mass_g" doc:"Weight of one; null when none is given"`
	Weighed  bool     `json:"weighed" doc:"The weight is from a scale"`
	Price    *float64 `json:"price" doc:"Price of one; null when none is given"`
	Currency string   `json:"currency" doc:"Currency of the price, ISO 4217"`
	From     string   `json:"from" doc:"Where it comes from"`
	Have     *int     `json:"have" doc:"How many lie in the drawer; null when that is not written"`
	Notes    string   `json:"notes" doc:"The builder's own words on it"`
	Text     string   `json:"text" doc:"The item as written, on one line"`
}

type foundList struct {
	Items []foundItem `json:"items" doc:"What was found"`
	More  bool        `json:"more" doc:"There are others behind them"`
}

func foundItems(list []store.Item, more bool) foundList {
	out := foundList{Items: []foundItem{}, More: more}
	for _, it := range list {
		f := foundItem{Bin: it.Bin, ID: it.Name, Title: it.Title, Kind: it.Kind, Weighed: it.Weighed, Price: it.Price, Currency: it.Currency, From: it.From, Have: it.Have, Notes: it.Notes, Text: it.Line}
		if it.Mass != nil {
			g := float64(*it.Mass) * 1000
			f.MassG = &g
		}
		out.Items = append(out.Items, f)
	}
	return out
}

func (p *printer) items(list []store.Item) {
	if len(list) == 0 {
		p.line("found nothing")
		return
	}
	var rows [][]string
	unweighed := false
	for _, it := range list {
		unweighed = unweighed || it.Mass != nil && !it.Weighed
		rows = append(rows, []string{it.Name, clip(it.Title), it.Kind, p.mass(it.Mass, it.Weighed), price(it.Price, it.Currency), count(it.Have), it.From, it.Bin})
	}
	p.table([]string{"item", "what", "kind", "each " + p.unit(quantity.DimMass), "price each", "in the drawer", "from", "bin"}, rows)
	if unweighed {
		p.line("~ worked out or from a packet, not from a scale")
	}
}

// mass is a weight without its unit; one that is not from a scale has a ~ before it.
func (p *printer) mass(m *quantity.Mass, weighed bool) string {
	if m == nil {
		return "–"
	}
	text := p.num(quantity.DimMass, float64(*m), 2)
	if !weighed {
		text = "~" + text
	}
	return text
}

func count(n *int) string {
	if n == nil {
		return "–"
	}
	return fmt.Sprint(*n)
}

func newBinFits() *cobra.Command {
	var a asked
	var limit int
	c := &cobra.Command{
		Use:   "fits FILE PART/PORT",
		Short: "What of the document's bins goes on a port of a part",
		Args:  cobra.ExactArgs(2),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			l, err := load(args[0])
			if err != nil {
				return err
			}
			port, ok := mates.PortAt(l.model, args[1], p.units)
			if !ok {
				return fmt.Errorf("found the port %q, expected part/port of a part in %s%s", args[1], args[0], nearPort(args[1], mates.PortNames(l.model)))
			}
			list := mates.Fittings(l.model, &port)
			if p.json {
				return p.encode(fittings(args[1], &port, list, limit))
			}
			p.title("%s: %s", args[1], port.Needs())
			if len(list) == 0 {
				p.line("nothing in %s fits", strings.Join(l.build.Doc.Bins, ", "))
				return nil
			}
			var rows [][]string
			for _, f := range list[:min(limit, len(list))] {
				rows = append(rows, []string{f.Item, clip(f.Part.Title), f.Fit, clip(f.Why), count(f.Part.Have), price(f.Part.Price, f.Part.Money)})
			}
			p.table([]string{"item", "what", "fit", "why", "in the drawer", "price each"}, rows)
			if len(list) > limit {
				p.line("and %d more; see --limit", len(list)-limit)
			}
			return nil
		},
	}
	a.flags(c)
	c.Flags().IntVar(&limit, "limit", 20, "at most so many")
	return c
}

func nearPort(ref string, names []string) string {
	if near := rig.Nearest(ref, names); near != "" {
		return fmt.Sprintf("; did you mean %q?", near)
	}
	if len(names) == 0 {
		return "; none of its parts has ports"
	}
	part, _, _ := strings.Cut(ref, "/")
	var own []string
	for _, n := range names {
		if strings.HasPrefix(n, part+"/") {
			own = append(own, n)
		}
	}
	if len(own) > 0 {
		return "; there is " + strings.Join(own, ", ")
	}
	return ""
}

type fitting struct {
	ID   string `json:"id" doc:"Name of the item"`
	Port string `json:"port" doc:"Port of the item that meets it"`
	Fit  string `json:"fit" doc:"The fit in words"`
	Why  string `json:"why" doc:"One sentence with both dimensions"`
	Have *int   `json:"have" doc:"How many lie in the drawer; null when that is not written"`
}

type fittingList struct {
	Port  string    `json:"port" doc:"part/port"`
	Needs string    `json:"needs" doc:"What goes on it, in words"`
	Items []fitting `json:"items" doc:"Those in stock first"`
	More  bool      `json:"more" doc:"There are others behind them"`
}

func fittings(ref string, port *mates.Port, list []mates.Fitting, limit int) fittingList {
	out := fittingList{Port: ref, Needs: port.Needs(), Items: []fitting{}, More: len(list) > limit}
	for _, f := range list[:min(limit, len(list))] {
		out.Items = append(out.Items, fitting{f.Item, f.Port, f.Fit, f.Why, f.Part.Have})
	}
	return out
}

func newBinList(folder *string) *cobra.Command {
	return &cobra.Command{
		Use:   "list",
		Short: "The bins of the workshop with the number of their items",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			p := &printer{out: c.OutOrStdout()}
			return inWorkshop(c, *folder, store.Options{MustExist: true}, func(s *store.Store) error {
				return s.Look(commandContext(c), func(v store.Snapshot) error {
					docs, err := v.Documents(store.Bin)
					if err != nil {
						return err
					}
					counts, err := v.ItemCounts()
					if err != nil {
						return err
					}
					if len(docs) == 0 {
						p.line("no bins yet; begin one with: lowslung bin import FILE.csv")
						return nil
					}
					var rows [][]string
					for _, d := range docs {
						rows = append(rows, []string{d.File, fmt.Sprint(counts[d.File]), fmt.Sprint(d.Revision), d.Why})
					}
					p.table([]string{"bin", "items", "revision", "saved for"}, rows)
					return nil
				})
			})
		},
	}
}

func newBinReindex(folder *string) *cobra.Command {
	return &cobra.Command{
		Use:   "reindex",
		Short: "Make the tables in which items are found anew, from the texts of the bins",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return inWorkshop(c, *folder, store.Options{MustExist: true}, func(s *store.Store) error {
				if err := s.Reindex(commandContext(c)); err != nil {
					return err
				}
				fmt.Fprintln(c.OutOrStdout(), "made the tables of items anew")
				return nil
			})
		},
	}
}
