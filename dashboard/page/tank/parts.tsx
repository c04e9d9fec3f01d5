/*
 * What stands still in the section through the tank: mains, supply, contactor, shunt, bars, tank, tray, probe. Drawn by the section;
 * shows no reading, only whether contactor and second means are open.
 */
export function Leads(props: { isClosed: boolean; isSecondMeansOpen: boolean }) {
  const { isClosed, isSecondMeansOpen } = props;
  return (
    <g class={isClosed ? 'leads energised' : 'leads'}>
      <path class="mains" d="M44 -36l4 4l4 -4M48 -32V-26M48 -6V22" />
      <path class="blade thin" d={isSecondMeansOpen ? 'M48 -6L60 -23' : 'M48 -6V-26'} />
      <circle class="contact" cx="48" cy="-26" r="2.2" />
      <circle class="contact" cx="48" cy="-6" r="2.2" />
      <rect class="box" x="10" y="22" width="76" height="48" rx="3" />
      <text class="sign" x="24" y="66" text-anchor="middle">
        +
      </text>
      <text class="sign" x="79" y="66" text-anchor="middle">
        −
      </text>
      <path class="lead" d="M30 70V84" />
      <path class="blade" d={isClosed ? 'M30 112V84' : 'M30 112L43 88'} />
      <circle class="contact" cx="30" cy="84" r="2.6" />
      <circle class="contact" cx="30" cy="112" r="2.6" />
      <path class="link" d="M36 98H68" />
      <path class="mushroom" d="M72 88V108M72 91C82 91 86 94 86 98C86 102 82 105 72 105Z" />
      <path class="lead" d="M30 112V138" />
      <path class="bar" d="M26 140H334" />
      <path class="lead" d="M56 140V164M304 140V164" />
      <path class="lead" d="M86 60H104M152 60H176" />
      <rect class="shunt" x="104" y="53" width="48" height="14" rx="1.5" />
      <path class="sense" d="M112 53V67M144 53V67" />
    </g>
  );
}

export function Tank() {
  const waves = Array.from({ length: 14 }, (_, row) => {
    const y = 190 + row * 14;
    const strokes = Array.from({ length: 7 }, (_, k) => `M${30 + (row % 2) * 22 + k * 44} ${y}q6 -2.4 12 0t12 0`);
    return <path key={y} d={strokes.slice(0, row % 2 === 0 ? 7 : 6).join('')} />;
  });
  return (
    <g>
      <path class="liquid" d="M26 176H334V384H26Z" />
      <g class="waves">{waves}</g>
      <path class="level" d="M26 176q14 -3 28 0t28 0t28 0t28 0t28 0t28 0t28 0t28 0t28 0t28 0t28 0" />
      <path class="wall" d="M18 146H26V384H334V146H342V392H18Z" />
      <path class="tray" d="M4 398V424H356V398" />
      <rect class="anode" x="46" y="160" width="20" height="190" rx="3" />
      <rect class="anode" x="294" y="160" width="20" height="190" rx="3" />
    </g>
  );
}

export function Probe() {
  return (
    <g>
      <path class="probe-wire" d="M268 110V122" />
      <path class="sleeve" d="M264 120H272V262a4 4 0 0 1 -8 0Z" />
      <circle class="probe-tip" cx="268" cy="258" r="2.6" />
    </g>
  );
}
