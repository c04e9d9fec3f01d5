/* The newest answer for what is looked at, whatever was looked at when it was asked. Used by the charts. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Refusal, Series } from '@bathkeeper/shared-core/messages';
import { askSeries } from '../state/series-api.js';
import { type Feed, openFeed } from './series-feed.js';
import type { View } from './view.js';

interface Wish {
  readonly view: View;
  readonly points: number;
}

/** `view` null: nothing is asked yet. `frame`: the element whose width in pixels is the number of points, before `width` follows it. */
export function useSeries(
  controllerId: string,
  view: View | null,
  width: number,
  frame?: { readonly current: HTMLElement | null },
): { readonly series: Series | null; readonly refusal: Refusal | null } {
  const [series, setSeries] = useState<Series | null>(null);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const feed = useRef<Feed<Wish> | null>(null);
  useEffect(() => {
    feed.current = openFeed<Wish, Series>(
      ({ view: { from, to }, points }) => askSeries(controllerId, from, to, points),
      setSeries,
      setRefusal,
    );
    return () => feed.current?.close();
  }, [controllerId]);
  useEffect(() => {
    // Laid out before `width` is told of it: the first question is asked for the right number of points.
    if (view !== null) feed.current?.want({ view, points: frame?.current?.clientWidth ?? width });
  }, [controllerId, view?.from, view?.to, width]);
  return { series, refusal };
}

/** Before the first answer. */
export const NO_SERIES: Series = {
  controllerId: '', fromMs: 0, toMs: 1, bucketMs: 1000, source: 'records', startMs: [], seconds: [], run: [], phase: [], permittedAmps: [],
  setPointAmps: [], currentMeanAmps: [],
  currentMinAmps: [], currentMaxAmps: [], voltageVolts: [], voltageMinVolts: [], voltageMaxVolts: [], resistanceMinMilliohms: [], resistanceMaxMilliohms: [],
  temperatureCelsius: [], temperatureMinCelsius: [], temperatureMaxCelsius: [], rotationPulsesPerMinute: [], chargeAmpereHours: [],
}; // prettier-ignore
