// What lies in the drawers of the demo workshop: invented parts, makers and suppliers, as a table that is read in like any other.

/** The first delivery, in the form that `stock import` reads. */
export const demoStockTable = `Part number;Manufacturer;Kind;Value;Tolerance;Voltage;Body;Lead pitch;Polarised;Price;Supplier;Lead time;Pieces;Lot;Date code
MF25-47K;Alder;resistor;47 kohm;1 %;;axial;;no;0.022 EUR;Marsh Lane Electronics;5;100;L-0001;2546
MF25-1M0;Alder;resistor;1 Mohm;1 %;;axial;;no;0.022 EUR;Marsh Lane Electronics;5;100;L-0002;2544
MF25-1K0;Alder;resistor;1 kohm;1 %;;axial;;no;0.022 EUR;Marsh Lane Electronics;5;100;L-0003;2551
MF25-10K;Alder;resistor;10 kohm;1 %;;axial;;no;0.022 EUR;Marsh Lane Electronics;5;14;L-0004;2512
MF25-10K;Alder;resistor;10 kohm;1 %;;axial;;no;0.022 EUR;Marsh Lane Electronics;5;100;L-0005;2603
MF25-18K;Alder;resistor;18 kohm;1 %;;axial;;no;0.022 EUR;Marsh Lane Electronics;5;100;L-0006;2546
MF25-15K;Alder;resistor;15 kohm;1 %;;axial;;no;0.022 EUR;Marsh Lane Electronics;5;50;L-0007;2546
MF25-6K8;Alder;resistor;6.8 kohm;1 %;;axial;;no;0.022 EUR;Marsh Lane Electronics;5;100;L-0008;2546
MF25-470R;Alder;resistor;470 ohm;1 %;;axial;;no;0.022 EUR;Marsh Lane Electronics;5;50;L-0009;2546
MF25-100K;Alder;resistor;100 kohm;1 %;;axial;;no;0.022 EUR;Marsh Lane Electronics;5;50;L-0010;2546
EL16-100U;Kestrel;capacitor;100 uF;-20/+50 %;16 V;radial;3.5 mm;yes;0.14 EUR;Marsh Lane Electronics;5;25;L-0011;2548
EL16-47U;Kestrel;capacitor;47 uF;-20/+50 %;16 V;radial;3.5 mm;yes;0.11 EUR;Marsh Lane Electronics;5;25;L-0012;2548
EL16-10U;Kestrel;capacitor;10 uF;-20/+50 %;16 V;radial;2.5 mm;yes;0.09 EUR;Marsh Lane Electronics;5;25;L-0013;2548
EL25-4U7;Kestrel;capacitor;4.7 uF;-20/+50 %;25 V;radial;2.5 mm;yes;0.09 EUR;Marsh Lane Electronics;5;25;L-0014;2548
FB63-100N;Ferrand;capacitor;100 nF;5 %;63 V;film-box;5 mm;no;0.19 EUR;Brook & Son;12;25;L-0015;2539
FB63-33N;Ferrand;capacitor;33 nF;5 %;63 V;film-box;5 mm;no;0.16 EUR;Brook & Son;12;20;L-0016;2539
FB63-3N3;Ferrand;capacitor;3.3 nF;5 %;63 V;film-box;5 mm;no;0.15 EUR;Brook & Son;12;25;L-0017;2539
CD50-47P;Ferrand;capacitor;47 pF;5 %;50 V;disc;5 mm;no;0.06 EUR;Brook & Son;12;50;L-0018;2539
CC50-100P;Ferrand;capacitor;100 pF;5 %;50 V;chip;;no;0.03 EUR;Brook & Son;12;100;L-0019;2602
CC50-10P;Ferrand;capacitor;10 pF;5 %;50 V;chip;;no;0.03 EUR;Brook & Son;12;100;L-0020;2602
SD-1A40;Holm;diode;Schottky 1 A 40 V;;;diode;;yes;0.08 EUR;Marsh Lane Electronics;5;50;L-0021;2540
PT9-100KB;Tarn;potentiometer;100 kohm;20 %;;potentiometer;;no;1.85 EUR;Brook & Son;21;24;L-0022;2545
FHA-PLV-A;;circuit-board;bare board, revision A;;;;;no;2.10 EUR;Weir Boards;18;15;L-0023;2605
BC-9V;;connector;lead for a 9 V battery;;;connector;;no;0.34 EUR;Brook & Son;12;20;L-0024;
HW-24-RED;;other;hook-up wire, 60 mm;;;;;no;0.02 EUR;Brook & Son;12;60;L-0025;
`

/** What came later. */
export const demoSecondDelivery = `Part number;Pieces;Lot;Date code;Note
FB63-33N;50;L-0027;2604;
PT9-100KB;20;L-0028;2601;shafts 1 mm longer than last time
`

/** The scarce op-amp, whose lots are tried in a socketed board before they may be built in. */
export const demoOpAmp = {
  number: 'DA-2X3',
  manufacturer: 'Osprey',
  kind: 'op-amp',
  value: 'dual op-amp',
  body: 'dual-in-line',
  polarised: true,
  staticSensitive: true,
  supplier: 'Marsh Lane Electronics',
  leadTimeDays: 45,
  price: { amountMinor: 386, currency: 'EUR', perPieces: 1 },
  inspection: { kind: 'sample', level: 'S-2', acceptanceQualityLimitPercent: 4 },
} as const
