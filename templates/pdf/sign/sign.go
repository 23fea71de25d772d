// Package sign puts an electronic signature into a finished file and verifies those that it finds.
//
// A signature reaches PAdES level B-B (ETSI EN 319 142-1): SubFilter ETSI.CAdES.detached, the attributes
// content-type, message-digest and signing-certificate-v2, no signing-time. It has no trusted timestamp and
// no proof that the certificate was not revoked, so that no higher level is ever claimed.
//
// The signature is not a library's, because those that exist put a form of their own in the place of the
// file's. Package pdf writes the file with room for it; [Fill] fills that room and changes nothing else.
//
// Verification does not parse the file: it looks for signed ranges of bytes. What a file shows is therefore
// not judged, only whether its bytes are those that were signed; and no file can make the search slow.
package sign

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Level is what a signature of this package reaches.
const Level = "PAdES B-B"

// Names in a signature's dictionary (ISO 32000-1, 12.8.1; ETSI EN 319 142-1, 5.3).
const (
	byteRangeKey = "/ByteRange"
	contentsKey  = "/Contents<"
	subFilterKey = "/SubFilter/"
	subFilter    = "ETSI.CAdES.detached"
)

// rangeDigits is the width of a number in the placeholder of a range: files up to 9,999,999,999 bytes.
const rangeDigits = 10

// ErrNoRoom says that a file has no empty room for a signature, or too little.
var ErrNoRoom = errors.New("sign: no room for a signature")

// Placeholder gives the entries of a signature's dictionary that are filled in later: room bytes for the
// signature, and the range of bytes that it covers.
func Placeholder(room int) string {
	zeros := strings.Repeat("0", rangeDigits)
	return "/Type/Sig/Filter/Adobe.PPKLite" + subFilterKey + subFilter +
		byteRangeKey + "[0 " + zeros + " " + zeros + " " + zeros + "]" +
		contentsKey + strings.Repeat("0", 2*room) + ">"
}

// Fill signs a file that has one empty [Placeholder]. Equal arguments give equal bytes. file is not changed.
func Fill(file []byte, id *Identity) ([]byte, error) {
	open, shut, numbers, err := vacancy(file)
	if err != nil {
		return nil, err
	}
	out := bytes.Clone(file)
	for i, n := range []int{open, shut, len(file) - shut} {
		at := numbers + i*(rangeDigits+1)
		digits := strconv.Itoa(n)
		if len(digits) > rangeDigits {
			return nil, ErrNoRoom
		}
		copy(out[at:], strings.Repeat("0", rangeDigits-len(digits))+digits)
	}
	der, err := id.detached(out[:open], out[shut:])
	if err != nil {
		return nil, err
	}
	if 2*len(der) > shut-open-2 {
		return nil, fmt.Errorf("%w: %d bytes needed", ErrNoRoom, len(der))
	}
	hex.Encode(out[open+1:], der)
	return out, nil
}

// vacancy finds the empty placeholder: where its value opens and shuts, and where the three numbers of its
// range are.
func vacancy(file []byte) (open, shut, numbers int, err error) {
	empty := byteRangeKey + "[0 " + strings.Repeat("0", rangeDigits) + " "
	at := bytes.LastIndex(file, []byte(empty))
	if at < 0 || bytes.Index(file, []byte(empty)) != at {
		return 0, 0, 0, ErrNoRoom
	}
	numbers = at + len(byteRangeKey) + len("[0 ")
	rest := file[at:]
	contents := bytes.Index(rest, []byte(contentsKey))
	if contents < 0 {
		return 0, 0, 0, ErrNoRoom
	}
	open = at + contents + len(contentsKey) - 1
	length := bytes.IndexByte(file[open:], '>')
	if length < 0 || len(bytes.Trim(file[open+1:open+length], "0")) != 0 {
		return 0, 0, 0, ErrNoRoom
	}
	return open, open + length + 1, numbers, nil
}
