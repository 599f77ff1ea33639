package cli

import (
	"encoding/csv"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/mates"
	"lowslung/shop"
)

func newShop() *cobra.Command {
	c := &cobra.Command{Use: "shop", Short: "What to buy, cut, drill and print, and in which order"}
	c.AddCommand(newShopOrder(), newShopCut(), newShopTemplates(), newShopPrints(), newShopSteps(), newShopStrength(), newShopWeigh())
	return c
}

func newShopOrder() *cobra.Command {
	var against, format, units string
	c := &cobra.Command{
		Use:   "order FILE",
		Short: "The shopping list of a conversion, forgotten small parts included",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			a := asked{units: units, json: format == "json"}
			p, err := a.begin(c)
			if err != nil {
				return err
			}
			m, base, name, err := pairOf(args[0], against)
			if err != nil {
				return err
			}
			ans, err := mates.Assess(m, mates.Options{Against: base, Units: p.units})
			if err != nil {
				return err
			}
			o := shop.OrderOf(&ans, func(id string) (mates.Piece, bool) { return mates.ItemPiece(m, id) })
			switch format {
			case "json":
				return p.encode(o)
			case "csv":
				return p.orderCSV(&o)
			case "md":
				p.orderMarkdown(name, &o)
			case "table":
				p.order(name, &o)
			default:
				return fmt.Errorf("format: found %q, expected table, csv, md or json", format)
			}
			return nil
		},
	}
	c.Flags().StringVar(&against, "against", "", "the build as it was; the document's own base when left out")
	c.Flags().StringVar(&format, "format", "table", "table, csv, md or json")
	c.Flags().StringVar(&units, "units", "metric", "units of tables and sentences: metric or us")
	return c
}

var orderHead = []string{"buy", "what", "item", "from", "each", "sum", "for", "note"}

func orderRow(l *shop.Line) []string {
	note := ""
	if l.Why == "forgotten" {
		note = "easily forgotten"
	}
	sum := "–"
	if l.Sum != nil {
		sum = price(l.Sum, l.Currency)
	}
	return []string{fmt.Sprint(l.Buy), l.What, l.Item, l.From, price(l.Each, l.Currency), sum, strings.Join(l.For, ", "), note}
}

func (p *printer) order(name string, o *shop.Order) {
	p.title("%s: to buy", name)
	var buy, have [][]string
	for i := range o.Lines {
		l := &o.Lines[i]
		row := orderRow(l)
		row[6] = clip(row[6])
		if l.Buy > 0 {
			buy = append(buy, row)
		}
		if l.Have > 0 {
			have = append(have, []string{fmt.Sprint(l.Have), row[1], row[2], row[3], row[4], row[6], row[7]})
		}
	}
	if len(buy) == 0 {
		p.line("nothing: all of it lies in the drawer")
	} else {
		p.table(orderHead, buy)
	}
	p.line("\n%s", orderSum(o))
	if len(have) > 0 {
		p.title("To take from the drawer")
		p.table([]string{"take", "what", "item", "from", "each", "for", "note"}, have)
	}
}

func orderSum(o *shop.Order) string {
	text := "no sum, because none or several currencies are given"
	if o.Currency != "" {
		text = fmt.Sprintf("%.2f %s", o.Price, o.Currency)
	}
	if o.Unpriced > 0 {
		text += fmt.Sprintf("; lines whose price is not known: %d", o.Unpriced)
	}
	return text
}

func (p *printer) orderCSV(o *shop.Order) error {
	w := csv.NewWriter(p.out)
	if err := w.Write([]string{"count", "have", "buy", "what", "item", "from", "each", "sum", "currency", "for", "why"}); err != nil {
		return err
	}
	num := func(v *float64) string {
		if v == nil {
			return ""
		}
		return fmt.Sprintf("%.2f", *v)
	}
	for _, l := range o.Lines {
		err := w.Write([]string{
			fmt.Sprint(l.Count), fmt.Sprint(l.Have), fmt.Sprint(l.Buy), l.What, l.Item, l.From, num(l.Each), num(l.Sum), l.Currency, strings.Join(l.For, "; "), l.Why,
		})
		if err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

func (p *printer) orderMarkdown(name string, o *shop.Order) {
	cell := strings.NewReplacer("|", "\\|", "\n", " ")
	p.line("# To buy for %s\n", name)
	p.line("| %s |", strings.Join(orderHead, " | "))
	p.line("|%s", strings.Repeat(" --- |", len(orderHead)))
	for i := range o.Lines {
		if o.Lines[i].Buy == 0 {
			continue
		}
		row := orderRow(&o.Lines[i])
		for k := range row {
			row[k] = cell.Replace(row[k])
		}
		p.line("| %s |", strings.Join(row, " | "))
	}
	p.line("\n%s", orderSum(o))
}
