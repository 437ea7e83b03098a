/** What lies between a phone and the server: a seeded choice of everything that can go wrong with a request. */

type Fetch = (url: string, init: RequestInit) => Promise<Response>;

const FAULTS: [kind: string, share: number][] = [
  ["dropped", 0.1], ["answer_lost", 0.12], ["delayed", 0.08], ["doubled", 0.08], ["html", 0.05], ["busy", 0.04], ["torn", 0.04], ["cut", 0.04], ["died", 0.04],
];

export class Wire {
  faulty = false;
  readonly counts = new Map<string, number>();
  private readonly late: (() => Promise<Response>)[] = [];
  private die: () => void = () => undefined;

  constructor(private readonly baseUrl: string, private readonly chance: () => number) {}

  fetch: Fetch = async (path, init) => {
    const send = (): Promise<Response> => fetch(this.baseUrl + path, { ...init, signal: null });
    const fault = this.faulty ? this.choose() : "none";
    this.counts.set(fault, (this.counts.get(fault) ?? 0) + 1);
    switch (fault) {
      case "dropped": throw new TypeError("no route");
      case "answer_lost": await drain(send()); throw new TypeError("cut after the commit");
      case "delayed": this.late.push(send); throw new TypeError("gave up waiting");
      case "doubled": await drain(send()); return send();
      case "html": return new Response("<html>Sign in to this Wi-Fi</html>", { headers: { "Content-Type": "text/html" } });
      case "busy": return new Response("busy", { status: 503 });
      case "torn": return torn(await send());
      case "cut": await drain(fetch(this.baseUrl + path, { ...init, signal: null, ...half(init) })); throw new TypeError("cut at half");
      case "died": return this.dieHere(send);
      default: return send();
    }
  };

  /** Requests that everybody had given up arrive, in any order, long after. */
  async deliverLate(): Promise<void> {
    while (this.late.length > 0) {
      const [send] = this.late.splice(Math.floor(this.chance() * this.late.length), 1);
      await drain(send!());
    }
  }

  untilDeath(): Promise<"died"> {
    return new Promise((resolve) => (this.die = () => resolve("died")));
  }

  /** The phone dies with the request under way: half of the time the server has it. */
  private async dieHere(send: () => Promise<Response>): Promise<Response> {
    if (this.chance() < 0.5) await drain(send());
    this.die();
    return new Promise(() => undefined);
  }

  private choose(): string {
    let dice = this.chance();
    for (const [kind, share] of FAULTS) {
      dice -= share;
      if (dice < 0) return kind;
    }
    return "none";
  }
}

async function drain(answer: Promise<Response>): Promise<void> {
  await (await answer).arrayBuffer();
}

async function torn(answer: Response): Promise<Response> {
  const text = await answer.text();
  if (answer.status === 304) return new Response(null, { status: 304 });
  return new Response(text.slice(0, Math.floor(text.length / 2)), { status: answer.status, headers: answer.headers });
}

function half({ body }: RequestInit): RequestInit {
  if (body instanceof ArrayBuffer) return { body: body.slice(0, Math.floor(body.byteLength / 2)) };
  return typeof body === "string" ? { body: body.slice(0, Math.floor(body.length / 2)) } : {};
}
