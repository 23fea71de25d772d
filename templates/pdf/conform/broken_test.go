package conform_test

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// parts is a finished file taken apart, so that a test can break one thing and put it together again.
type parts struct {
	t       *testing.T
	head    string
	trailer string
	tail    string
	objects []part // the first is unused
}

type part struct {
	dict   string
	data   string // decoded
	stream bool
	zip    bool
}

// take reads a file with a classic cross-reference table.
func take(t *testing.T, file []byte) *parts {
	t.Helper()
	_, after, _ := bytes.Cut(file, []byte("startxref\n"))
	start, _ := strconv.Atoi(strings.SplitN(string(after), "\n", 2)[0])
	lines := strings.Split(string(file[start:]), "\n")
	count, _ := strconv.Atoi(strings.Fields(lines[1])[1])
	p := &parts{t: t, objects: make([]part, count)}
	first := len(file)
	for n := 1; n < count; n++ {
		offset, _ := strconv.Atoi(lines[2+n][:10])
		first = min(first, offset)
		_, body, _ := bytes.Cut(file[offset:], []byte(" 0 obj\n"))
		p.objects[n] = takePart(t, body)
	}
	p.head = string(file[:first])
	p.trailer = strings.TrimSuffix(strings.TrimPrefix(lines[2+count+1], "<<"), ">>")
	return p
}

var lengthEntry = regexp.MustCompile(`/Length \d+`)

func takePart(t *testing.T, body []byte) part {
	t.Helper()
	dict, _, _ := bytes.Cut(body, []byte("\nendobj\n"))
	found, _, ok := bytes.Cut(dict, []byte(">>\nstream\n"))
	if !ok {
		return part{dict: string(dict)}
	}
	rest := body[len(found)+len(">>\nstream\n"):]
	size, _ := strconv.Atoi(strings.Fields(string(lengthEntry.Find(found)))[1])
	d := string(lengthEntry.ReplaceAll(found, nil)) + ">>"
	if !strings.Contains(d, "/Filter/FlateDecode") {
		return part{dict: d, data: string(rest[:size]), stream: true}
	}
	z, err := zlib.NewReader(bytes.NewReader(rest[:size]))
	if err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return part{dict: strings.Replace(d, "/Filter/FlateDecode", "", 1), data: string(data), stream: true, zip: true}
}

// put writes the file.
func (p *parts) put() []byte {
	var b bytes.Buffer
	b.WriteString(p.head)
	offsets := make([]int, len(p.objects))
	for n := 1; n < len(p.objects); n++ {
		offsets[n] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n", n)
		o := p.objects[n]
		if !o.stream {
			b.WriteString(o.dict)
		} else {
			data, filter := o.data, ""
			if o.zip {
				var z bytes.Buffer
				w := zlib.NewWriter(&z)
				_, _ = io.WriteString(w, o.data)
				_ = w.Close()
				data, filter = z.String(), "/Filter/FlateDecode"
			}
			fmt.Fprintf(&b, "%s%s/Length %d>>\nstream\n%s\nendstream", strings.TrimSuffix(o.dict, ">>"), filter, len(data), data)
		}
		b.WriteString("\nendobj\n")
	}
	start := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(p.objects))
	for _, offset := range offsets[1:] {
		fmt.Fprintf(&b, "%010d 00000 n \n", offset)
	}
	fmt.Fprintf(&b, "trailer\n<<%s>>\nstartxref\n%d\n%%%%EOF\n%s", p.trailer, start, p.tail)
	return b.Bytes()
}

// swap replaces the first occurrence of old in the dictionaries, the streams or the trailer.
func (p *parts) swap(old, new string) {
	p.t.Helper()
	for n := 1; n < len(p.objects); n++ {
		o := &p.objects[n]
		if strings.Contains(o.dict, old) {
			o.dict = strings.Replace(o.dict, old, new, 1)
			return
		}
		if strings.Contains(o.data, old) {
			o.data = strings.Replace(o.data, old, new, 1)
			return
		}
	}
	if !strings.Contains(p.trailer, old) {
		p.t.Fatalf("the file has no %q", old)
	}
	p.trailer = strings.Replace(p.trailer, old, new, 1)
}

// drop removes an expression.
func (p *parts) drop(expression string) {
	p.t.Helper()
	re := regexp.MustCompile(expression)
	for n := 1; n < len(p.objects); n++ {
		o := &p.objects[n]
		for _, s := range []*string{&o.dict, &o.data} {
			if found := re.FindString(*s); found != "" {
				*s = strings.Replace(*s, found, "", 1)
				return
			}
		}
	}
	if found := re.FindString(p.trailer); found != "" {
		p.trailer = strings.Replace(p.trailer, found, "", 1)
		return
	}
	p.t.Fatalf("the file has no %q", expression)
}

// add adds an object and gives its number.
func (p *parts) add(dict string) int {
	p.objects = append(p.objects, part{dict: dict})
	return len(p.objects) - 1
}

// addStream adds a stream and gives its number.
func (p *parts) addStream(dict, data string) int {
	p.objects = append(p.objects, part{dict: dict, data: data, stream: true})
	return len(p.objects) - 1
}

// find gives the number of the object whose dictionary has text.
func (p *parts) find(text string) int {
	p.t.Helper()
	for n := 1; n < len(p.objects); n++ {
		if strings.Contains(p.objects[n].dict, text) {
			return n
		}
	}
	p.t.Fatalf("no object has %q", text)
	return 0
}
