package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lowslung/store"
)

func newWorkshopCommand() *cobra.Command {
	var folder string
	c := &cobra.Command{
		Use:   "workshop",
		Short: "Bring documents into the workshop and out of it, back it up, restore and verify it",
		Long: "The workshop is one file with every rig, every bin and every revision of both. These commands may run while the workbench is open:\n" +
			"it shows what they change.",
		Args: cobra.NoArgs,
	}
	c.PersistentFlags().StringVar(&folder, "workshop", "", "folder that holds the workshop; the user's data folder when left out")
	c.AddCommand(newImport(&folder), newExport(&folder), newBackup(&folder), newRestore(&folder), newVerify(&folder))
	return c
}

// workshopFolder is the folder asked for, or the builder's own.
func workshopFolder(folder string) (string, error) {
	if folder != "" {
		return folder, nil
	}
	return store.DefaultFolder()
}

func openWorkshop(ctx context.Context, folder string, o store.Options) (*store.Store, error) {
	folder, err := workshopFolder(folder)
	if err != nil {
		return nil, err
	}
	return store.Open(ctx, folder, o)
}

// told adds the mistakes to an error's message, one in a line.
func told(err error) error {
	var e *store.Error
	if errors.As(err, &e) && len(e.Mistakes) > 0 {
		return fmt.Errorf("%s\n%w", e.Mistakes.Error(), e)
	}
	return err
}

// commandContext is the command's context, also when it was run without one.
func commandContext(c *cobra.Command) context.Context {
	if ctx := c.Context(); ctx != nil {
		return ctx
	}
	return context.Background()
}

func newImport(folder *string) *cobra.Command {
	return &cobra.Command{
		Use:   "import PATH…",
		Short: "Bring in documents and meshes: a folder, a zip, a mesh, or a document with the bases, bins and meshes it names",
		Long: "Bring in documents and meshes: a folder, a zip, a mesh, or a document with the bases, bins and meshes it names. All of them are checked before any is saved;\n" +
			"a document that is there already gets a new revision, so nothing is lost.",
		Args: cobra.MinimumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			var texts []store.Text
			for _, path := range args {
				some, err := readTexts(path)
				if err != nil {
					return told(err)
				}
				texts = merged(texts, some)
			}
			ctx := commandContext(c)
			s, err := openWorkshop(ctx, *folder, store.Options{})
			if err != nil {
				return told(err)
			}
			defer s.Close()
			list, err := s.Import(ctx, texts, "imported")
			if err != nil {
				return told(err)
			}
			for _, o := range list {
				line := o.Result + " " + o.Name
				if o.Why != "" {
					line += ": " + o.Why
				}
				fmt.Fprintln(c.OutOrStdout(), line)
			}
			return s.Close()
		},
	}
}

func readTexts(path string) ([]store.Text, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, fmt.Errorf("found no folder or file %s", path)
	case info.IsDir():
		return store.ReadFolder(path)
	case strings.EqualFold(filepath.Ext(path), ".zip"):
		return store.ReadZipFile(path)
	case store.IsMesh(path):
		if info.Size() > store.MaxMeshBytes {
			return nil, fmt.Errorf("%s: found %d MiB, expected at most %d MiB; save it with fewer triangles", path, info.Size()>>20, store.MaxMeshBytes>>20)
		}
		body, err := os.ReadFile(path)
		return []store.Text{{Name: filepath.Base(path), Body: body}}, err
	}
	return store.ReadDocument(filepath.Dir(path), filepath.Base(path))
}

// merged adds texts and leaves out those that are there already, as when two documents share a bin.
func merged(texts, more []store.Text) []store.Text {
	for _, t := range more {
		twice := false
		for _, u := range texts {
			twice = twice || u.Name == t.Name && string(u.Body) == string(t.Body)
		}
		if !twice {
			texts = append(texts, t)
		}
	}
	return texts
}

func newExport(folder *string) *cobra.Command {
	var replace bool
	c := &cobra.Command{
		Use:   "export TO [DOCUMENT…]",
		Short: "Write documents as plain files into the folder TO, or as one zip when TO ends in .zip",
		Long: "Write documents as plain files into the folder TO, or as one zip when TO ends in .zip: the ones named with their bases and bins, or\n" +
			"all. Only the present texts are written; the whole workshop with its history is what backup writes.",
		Args: cobra.MinimumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			ctx := commandContext(c)
			s, err := openWorkshop(ctx, *folder, store.Options{MustExist: true})
			if err != nil {
				return told(err)
			}
			defer s.Close()
			texts, err := s.Export(ctx, args[1:]...)
			if err != nil {
				return told(err)
			}
			if strings.EqualFold(filepath.Ext(args[0]), ".zip") {
				err = store.WriteZipFile(args[0], texts, replace)
			} else {
				err = store.WriteFolder(args[0], texts, replace)
			}
			if err != nil {
				return told(err)
			}
			fmt.Fprintf(c.OutOrStdout(), "wrote %d documents to %s\n", len(texts), args[0])
			return s.Close()
		},
	}
	c.Flags().BoolVar(&replace, "replace", false, "replace files that are there with other content")
	return c
}

func newBackup(folder *string) *cobra.Command {
	return &cobra.Command{
		Use:   "backup FILE",
		Short: "Write the whole workshop with every revision to a new file, also while the workbench is open",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			ctx := commandContext(c)
			s, err := openWorkshop(ctx, *folder, store.Options{MustExist: true})
			if err != nil {
				return told(err)
			}
			defer s.Close()
			if err := s.Backup(ctx, args[0]); err != nil {
				return told(err)
			}
			fmt.Fprintf(c.OutOrStdout(), "wrote %s\n", args[0])
			return s.Close()
		},
	}
}

func newRestore(folder *string) *cobra.Command {
	return &cobra.Command{
		Use:   "restore FILE",
		Short: "Put a backup in the place of the workshop; what was there is kept in a file beside it",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			to, err := workshopFolder(*folder)
			if err != nil {
				return err
			}
			out, err := store.Restore(commandContext(c), to, args[0])
			if err != nil {
				return told(err)
			}
			fmt.Fprintf(c.OutOrStdout(), "restored %d documents with %d revisions to %s\n", out.Report.Documents, out.Report.Revisions, out.Workshop)
			if out.Kept != "" {
				fmt.Fprintf(c.OutOrStdout(), "what was there before is kept in %s\n", out.Kept)
			}
			return nil
		},
	}
}

func newVerify(folder *string) *cobra.Command {
	return &cobra.Command{
		Use:   "verify",
		Short: "Check that every revision is there, is what was saved, and still loads with the texts of its time",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			ctx := commandContext(c)
			s, err := openWorkshop(ctx, *folder, store.Options{MustExist: true})
			if err != nil {
				return told(err)
			}
			defer s.Close()
			r, err := s.Verify(ctx)
			if err != nil {
				return told(err)
			}
			out := c.OutOrStdout()
			for _, p := range r.Problems {
				switch {
				case p.File == "":
					fmt.Fprintln(out, p.Text)
				case p.Revision == 0:
					fmt.Fprintf(out, "%s: %s\n", p.File, p.Text)
				default:
					fmt.Fprintf(out, "%s, revision %d: %s\n", p.File, p.Revision, p.Text)
				}
			}
			if n := len(r.Problems); n > 0 {
				fmt.Fprintf(out, "found %d problems in %s; put a backup back with: lowslung workshop restore\n", n, s.Path())
				return errStop
			}
			fmt.Fprintf(out, "%s is sound: %d documents, %d revisions, %d texts\n", s.Path(), r.Documents, r.Revisions, r.Texts)
			return s.Close()
		},
	}
}
