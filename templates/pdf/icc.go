package pdf

import "encoding/binary"

// profileDescription names the colour space in the profile and in the output intent.
const profileDescription = "sRGB IEC61966-2.1"

// colourProfile makes a display profile of version 2 (ICC.1:2001-04) for the sRGB space of IEC 61966-2-1:
// the three primaries adapted to D50 by the Bradford matrix, and one tone curve. It is made here so that
// no licence comes with it.
func colourProfile() []byte {
	tags := []struct {
		name string
		data []byte
	}{
		{"desc", descriptionTag(profileDescription)},
		{"cprt", append([]byte("text\x00\x00\x00\x00"), "CC0-1.0\x00"...)},
		{"wtpt", xyzTag([3]uint32{0xF6D6, 0x10000, 0xD32D})},
		{"rXYZ", xyzTag([3]uint32{0x6FA0, 0x38F5, 0x0390})},
		{"gXYZ", xyzTag([3]uint32{0x6297, 0xB787, 0x18D9})},
		{"bXYZ", xyzTag([3]uint32{0x249F, 0x0F84, 0xB6C4})},
		{"rTRC", curveTag()}, {"gTRC", nil}, {"bTRC", nil}, // one curve for all three
	}
	const header, entry = 128, 12
	b := make([]byte, header, 1024)
	b = binary.BigEndian.AppendUint32(b, uint32(len(tags)))
	offset := header + 4 + entry*len(tags)
	var data []byte
	place, size := 0, 0
	for _, t := range tags {
		if t.data != nil {
			place, size = offset+len(data), len(t.data)
			data = append(data, t.data...)
			for len(data)%4 != 0 {
				data = append(data, 0)
			}
		}
		b = append(b, t.name...)
		b = binary.BigEndian.AppendUint32(b, uint32(place))
		b = binary.BigEndian.AppendUint32(b, uint32(size))
	}
	b = append(b, data...)
	profileHeader(b)
	return b
}

func profileHeader(b []byte) {
	put := binary.BigEndian.PutUint32
	put(b[0:], uint32(len(b)))
	put(b[8:], 0x02100000)
	copy(b[12:], "mntrRGB XYZ ")
	// The date of creation is fixed: midnight of 1 January 2000.
	binary.BigEndian.PutUint16(b[24:], 2000)
	binary.BigEndian.PutUint16(b[26:], 1)
	binary.BigEndian.PutUint16(b[28:], 1)
	copy(b[36:], "acsp")
	put(b[68:], 0xF6D6)
	put(b[72:], 0x10000)
	put(b[76:], 0xD32D)
}

// descriptionTag makes a textDescriptionType with its empty Unicode and script parts.
func descriptionTag(s string) []byte {
	b := []byte("desc\x00\x00\x00\x00")
	b = binary.BigEndian.AppendUint32(b, uint32(len(s)+1))
	b = append(append(b, s...), 0)
	const rest = 4 + 4 + 2 + 1 + 67
	return append(b, make([]byte, rest)...)
}

func xyzTag(v [3]uint32) []byte {
	b := []byte("XYZ \x00\x00\x00\x00")
	for _, n := range v {
		b = binary.BigEndian.AppendUint32(b, n)
	}
	return b
}

func curveTag() []byte {
	b := []byte("curv\x00\x00\x00\x00")
	b = binary.BigEndian.AppendUint32(b, uint32(len(toneCurve)))
	for _, v := range toneCurve {
		b = binary.BigEndian.AppendUint16(b, v)
	}
	return b
}

// toneCurve holds the transfer function of IEC 61966-2-1 at 64 even steps, in 1/65535.
var toneCurve = [64]uint16{
	0, 81, 161, 244, 345, 466, 609, 776, 965, 1180, 1420, 1687, 1980, 2301, 2651, 3030,
	3439, 3879, 4349, 4851, 5386, 5953, 6554, 7189, 7858, 8562, 9302, 10078, 10890, 11739, 12626, 13551,
	14513, 15515, 16556, 17636, 18757, 19918, 21120, 22363, 23648, 24974, 26344, 27756, 29211, 30710, 32253, 33840,
	35471, 37148, 38870, 40638, 42452, 44312, 46219, 48173, 50174, 52223, 54320, 56465, 58659, 60901, 63193, 65535,
}
