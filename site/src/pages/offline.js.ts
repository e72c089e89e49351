import { bundle } from "../bundle.ts";

export const GET = () => bundle("src/offline/page.ts");
