package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"culm/agronomy/rulebook"
	"culm/exchange/folder"
	"culm/season"
)

// isBookFile says that a book is named by its file and not by its key.
func isBookFile(name string) bool {
	ext := strings.ToLower(filepath.Ext(name))
	return ext == ".yaml" || ext == ".yml"
}

// library gives the books that come with Culm and, where a season folder is named, those that lie in it. One of the
// folder's that has the key of a shipped book stands in its place.
func library(d *door, seasonFolder string) ([]*rulebook.Book, error) {
	shipped, err := rulebook.Shipped()
	if err != nil || seasonFolder == "" {
		return shipped, err
	}
	content, problems := folder.Open(seasonFolder)
	problems = slices.DeleteFunc(problems, func(p season.Problem) bool {
		return p.File != "" && !strings.HasPrefix(p.File, "rulebooks/")
	})
	if errors := count(problems, season.Fatal); errors > 0 {
		printProblems(d.err, problems)
		return nil, failWith(exitBadInput, "%s has %s", seasonFolder, plural(errors, "error"))
	}
	books := slices.DeleteFunc(slices.Clone(shipped), func(b *rulebook.Book) bool {
		return slices.ContainsFunc(content.Books, func(own *rulebook.Book) bool { return own.Key == b.Key })
	})
	return append(books, content.Books...), nil
}

// findBook gives a book by its key, or reads one from a file. The problems of a book that cannot be used are printed
// and become an error with exit code 3.
func findBook(d *door, name, seasonFolder string) (*rulebook.Book, error) {
	if !isBookFile(name) {
		return bookByKey(d, name, seasonFolder)
	}
	text, err := readBookFile(name)
	if err != nil {
		return nil, err
	}
	book, err := rulebook.Parse(name, text)
	if err != nil {
		fmt.Fprintln(d.err, err)
		return nil, failWith(exitBadInput, "%s cannot be used; culm rulebook check %s tells more", name, name)
	}
	return book, nil
}

func bookByKey(d *door, key, seasonFolder string) (*rulebook.Book, error) {
	books, err := library(d, seasonFolder)
	if err != nil {
		return nil, err
	}
	var keys []string
	for _, b := range books {
		if b.Key == key {
			return b, nil
		}
		keys = append(keys, b.Key)
	}
	return nil, failWith(exitBadInput, "no book is called %q; the books are %s. A book of your own is named by its file, %s.yaml, or lies in the season folder named by --season", key, strings.Join(keys, ", "), key)
}

// readBookFile reads a file, far beyond the length of a book and no further.
func readBookFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, failWith(exitBadInput, "there is no file %s", path)
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, 64*rulebook.MaxText))
}

// findRule gives a rule of a book.
func findRule(b *rulebook.Book, key string) (*rulebook.Rule, error) {
	if r, ok := b.Rule(strings.TrimPrefix(key, b.Key+"/")); ok {
		return r, nil
	}
	return nil, failWith(exitBadInput, "%s has no rule %q; its rules are %s", b.Key, key, strings.Join(ruleKeys(b), ", "))
}

func ruleKeys(b *rulebook.Book) []string {
	var keys []string
	for _, r := range b.Rules {
		keys = append(keys, r.Key)
	}
	return keys
}
