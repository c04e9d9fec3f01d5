/* The night of a plan as a table: on the page beside its band, and on the job sheet. */
import { nightTable, type Plan, type UnitSystem } from '@bathkeeper/shared-core/trade';

export function NightTable(props: { night: Plan['night']; units: UnitSystem }) {
  const { head, rows } = nightTable(props.night, props.units);
  return (
    <table>
      <thead>
        <tr>
          {head.map((words) => (
            <th key={words} scope="col">
              {words}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map(([after, ...cells], row) => (
          <tr key={row}>
            <th scope="row">{after}</th>
            {cells.map((words, column) => (
              <td key={column}>{words}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
